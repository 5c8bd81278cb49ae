using XoverOpt.Search;

namespace XoverOpt.Workshop.Matching;

/// <summary>
/// Puts the matched groups of the ways together into sets: the best of each first way with the worst of the next and so on, so that large
/// differences do not meet, and each group the way round that makes the difference of the whole earpiece least.
/// </summary>
internal static class SetAssembly
{
    /// <summary>The sets.</summary>
    /// <param name="receivers">All receivers.</param>
    /// <param name="groups">The groups.</param>
    /// <param name="taken">The chosen candidates of each group, equally many, least mismatch first.</param>
    /// <param name="whole">Whether the groups sound together, on the same frequencies.</param>
    public static IReadOnlyList<MatchedSet> Of(IReadOnlyList<MeasuredReceiver> receivers, IReadOnlyList<MatchGroup> groups, MatchCandidate[][] taken, bool whole)
    {
        int count = taken.Min(list => list.Length);
        return [.. Enumerable.Range(0, count)
            .Select(s => Join(groups.Select((group, g) => Group(group, taken[g][g % 2 == 0 ? s : count - 1 - s])).ToArray(), whole))
            .OrderBy(set => set.WholeDb ?? set.Groups[0].MismatchDb)];

        MatchedGroup Group(MatchGroup group, MatchCandidate candidate) => new(
            group, [.. candidate.Left.Select(i => receivers[i])], [.. candidate.Right.Select(i => receivers[i])], candidate.MismatchDb);
    }

    private static MatchedSet Join(MatchedGroup[] groups, bool whole)
    {
        if (!whole)
        {
            return new(groups, null);
        }

        double[][] difference = [.. groups.Select(group => group.Group.Measure.Difference(MatchMean.Of(group.Left), MatchMean.Of(group.Right)))];
        (int turned, double least) = Enumerable.Range(0, 1 << (groups.Length - 1))
            .Select(bits => (bits, Largest(bits)))
            .MinBy(choice => choice.Item2);
        return new([.. groups.Select((group, g) => Turned(turned, g) ? group with { Left = group.Right, Right = group.Left } : group)], least);

        double Largest(int bits) => Enumerable.Range(0, difference[0].Length)
            .Max(k => Math.Abs(difference.Select((curve, g) => Turned(bits, g) ? -curve[k] : curve[k]).Sum()));

        static bool Turned(int bits, int g) => g > 0 && (bits >> (g - 1) & 1) != 0;
    }
}
