using XoverOpt.Workshop.Matching;

namespace XoverOpt.Worker.Text;

/// <summary>Matched receivers as a table.</summary>
internal static class PairText
{
    /// <summary>The lines.</summary>
    public static IEnumerable<string> Lines(PairPlan plan)
    {
        bool whole = plan.Sets.Any(set => set.WholeDb is not null);
        int name = Math.Max(4, plan.Sets.SelectMany(set => set.Groups).Select(group => group.Group.Name.Length).DefaultIfEmpty(0).Max());
        int side = Math.Max(12, plan.Sets.SelectMany(set => set.Groups).Select(group => Math.Max(Side(group.Left).Length, Side(group.Right).Length)).DefaultIfEmpty(0).Max());
        yield return $"{(whole ? "set" : "pair"),5}  {(whole ? "way" : "part").PadRight(name)}  {"left".PadRight(side)}  {"right".PadRight(side)}  {"dB apart",8}{(whole ? "  whole dB" : "")}";
        for (int s = 0; s < plan.Sets.Count; s++)
        {
            MatchedSet set = plan.Sets[s];
            for (int g = 0; g < set.Groups.Count; g++)
            {
                MatchedGroup group = set.Groups[g];
                yield return $"{(g == 0 ? Numbers.Fixed(s + 1, 0) : ""),5}  {group.Group.Name.PadRight(name)}  {Side(group.Left).PadRight(side)}  {Side(group.Right).PadRight(side)}  {Numbers.Fixed(group.MismatchDb, 2),8}"
                    + (whole && g == 0 ? $"{Numbers.Fixed(set.WholeDb, 2),10}" : "");
            }
        }

        yield return "";
        yield return $"{plan.Sets.Count} {(whole ? "sets" : "pairs")} within {Numbers.Part(plan.LimitDb)} dB, {Numbers.Fixed(plan.TotalMismatchDb, 2)} dB apart in sum; "
            + (plan.Proven ? "no other assignment makes more, or as many with less." : "not proven to be the most: the lot is too large to try every choice.");
        int over = plan.Sets.Count(set => set.WholeDb > plan.LimitDb);
        if (over > 0)
        {
            yield return $"In {over} of them the ways together differ by more than the limit at some frequency.";
        }

        foreach (var why in plan.Left.GroupBy(left => left.Why))
        {
            yield return $"left over, {why.Key}: {string.Join(' ', why.Select(left => left.Receiver.Serial))}";
        }
    }

    private static string Side(IReadOnlyList<Search.MeasuredReceiver> side) => string.Join(" + ", side.Select(receiver => receiver.Serial));
}
