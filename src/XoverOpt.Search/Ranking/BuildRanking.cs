namespace XoverOpt.Search;

/// <summary>The one order of builds, used everywhere: feasible first, then cost, violation, number of parts, and a canonical key.</summary>
public static class BuildRanking
{
    /// <summary>Most builds of one family (same receivers and counts) in a list.</summary>
    public const int FamilyCap = 3;

    /// <summary>The order.</summary>
    public static readonly IComparer<RankedBuild> Order = Comparer<RankedBuild>.Create((a, b) =>
    {
        int order = b.Feasible.CompareTo(a.Feasible);
        order = order != 0 ? order : a.Cost.Total.CompareTo(b.Cost.Total);
        order = order != 0 ? order : a.Violation.CompareTo(b.Violation);
        order = order != 0 ? order : a.Figures.Parts.CompareTo(b.Figures.Parts);
        return order != 0 ? order : string.CompareOrdinal(a.Key, b.Key);
    });

    /// <summary>Ranks builds from 1, dropping doubles and all but the best few of each family.</summary>
    public static IReadOnlyList<RankedBuild> Rank(IEnumerable<RankedBuild> builds, int keep)
    {
        var ranked = new List<RankedBuild>();
        var seen = new HashSet<string>();
        var families = new Dictionary<string, int>();
        foreach (RankedBuild build in builds.Order(Order))
        {
            string family = string.Join('+', build.Earpiece.Ways.Select(way => $"{way.Count}x{way.Receiver.PartNumber}").Order(StringComparer.Ordinal));
            int kin = families.GetValueOrDefault(family);
            if (ranked.Count < keep && kin < FamilyCap && seen.Add(build.Key))
            {
                families[family] = kin + 1;
                ranked.Add(build with { Rank = ranked.Count + 1 });
            }
        }

        return ranked;
    }
}
