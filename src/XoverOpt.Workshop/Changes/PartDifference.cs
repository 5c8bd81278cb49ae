using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Changes;

/// <summary>A part that two builds need in unlike number.</summary>
/// <param name="Part">Its name in parts lists.</param>
/// <param name="Unit">"pieces" or "mm".</param>
/// <param name="Old">How many (how long) in one earpiece of the earlier build.</param>
/// <param name="New">The same of the later one.</param>
public sealed record PartDifference(string Part, string Unit, decimal Old, decimal New)
{
    /// <summary>Everything that differs.</summary>
    public static IReadOnlyList<PartDifference> Between(Earpiece old, Problem then, Earpiece now, Problem today)
    {
        Dictionary<(PartKind Kind, string Part), decimal> before = Counts(old, then), after = Counts(now, today);
        return [.. before.Keys.Union(after.Keys)
            .Where(part => before.GetValueOrDefault(part) != after.GetValueOrDefault(part))
            .OrderBy(part => part.Kind).ThenBy(part => part.Part, StringComparer.Ordinal)
            .Select(part => new PartDifference(part.Part, part.Kind == PartKind.Tubing ? "mm" : "pieces", before.GetValueOrDefault(part), after.GetValueOrDefault(part)))];
    }

    /// <summary>Pieces by name; millimetres of tubing.</summary>
    internal static Dictionary<(PartKind Kind, string Part), decimal> Counts(Earpiece build, Problem problem) => PartsBill.Of(build, problem).Lines
        .GroupBy(line => (line.Kind, PartName.Of(line.Kind, line.PartNumber, line.Value)))
        .ToDictionary(part => part.Key, part => part.Sum(line => line.Kind == PartKind.Tubing ? 1000 * line.Units : line.Pieces));
}
