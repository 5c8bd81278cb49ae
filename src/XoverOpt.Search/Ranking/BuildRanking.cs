namespace XoverOpt.Search;

/// <summary>The one order of builds, used everywhere: feasible first, then cost, violation, number of parts, and a canonical key.</summary>
public static class BuildRanking
{
    /// <summary>Builds of one family (same receivers and counts) that go before any waiting family.</summary>
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

    /// <summary>
    /// Ranks builds from 1, dropping doubles. Of a family only the best few are taken while other families wait; what room is left then
    /// goes to further kin.
    /// <para>
    /// At most a third of the places goes to builds further down that are on a trade-off front (<see cref="TradeOffFronts"/>) and
    /// that no build of the list equals or beats in both figures of that front: front by front in turn, the one that is best in the
    /// second figure first (the cheapest, the one of fewest receivers, the loudest). They take the places of the last builds that are
    /// on no front; the best build never gives way. Only the best few of a family come into question. The order of the list stays
    /// <see cref="Order"/>.
    /// </para>
    /// </summary>
    public static IReadOnlyList<RankedBuild> Rank(IEnumerable<RankedBuild> builds, int keep)
    {
        var taken = new List<RankedBuild>();
        var kinLeft = new List<RankedBuild>();
        var seen = new HashSet<string>();
        var families = new Dictionary<string, int>();
        foreach (RankedBuild build in builds.Order(Order))
        {
            string family = string.Join('+', build.Earpiece.Ways.Select(way => $"{way.Count}x{way.Receiver.PartNumber}").Order(StringComparer.Ordinal));
            int kin = families.GetValueOrDefault(family);
            if (seen.Add(build.Key))
            {
                families[family] = kin + 1;
                (kin < FamilyCap ? taken : kinLeft).Add(build);
            }
        }

        List<RankedBuild> list = [.. taken.Concat(kinLeft).Take(keep)];
        MakeRoom(list, taken, keep / 3);
        return [.. list.Order(Order).Select((build, index) => build with { Rank = index + 1 })];
    }

    private static void MakeRoom(List<RankedBuild> list, List<RankedBuild> candidates, int places)
    {
        HashSet<string> onFront = TradeOffFronts.Keys(candidates);
        for (int turn = 0; places > 0; turn++)
        {
            IReadOnlyList<RankedBuild>[] missing = [.. TradeOffFronts.Missing(candidates, list)];
            int leaves = list.FindLastIndex(build => !onFront.Contains(build.Key));
            if (leaves < 1 || missing.All(front => front.Count == 0))
            {
                return;
            }

            if (missing[turn % missing.Length] is [{ } first, ..])
            {
                list.RemoveAt(leaves);
                list.Add(first);
                places--;
            }
        }
    }
}
