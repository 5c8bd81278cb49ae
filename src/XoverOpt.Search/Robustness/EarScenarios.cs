namespace XoverOpt.Search;

/// <summary>
/// The ears a build should hold up in, around the job's own. Cases and weights are choices to compare builds by: common practice, no
/// source. The element sets of the simulator are no scenarios: they are three models of one average ear.
/// </summary>
public static class EarScenarios
{
    /// <summary>The cases, the job's own ear first.</summary>
    public static IReadOnlyList<(string Name, double Weight, EarChange Change)> Cases(EarSettings settings) =>
    [
        ("the job's ear", 0.30, new()),
        ("deep seal", 0.15, new() { Depth = settings.DeepSeal }),
        ("shallow seal", 0.15, new() { Depth = -settings.ShallowSeal }),
        ("small ear", 0.10, new() { SizeRatio = settings.SmallEar }),
        ("large ear", 0.10, new() { SizeRatio = settings.LargeEar }),
        ("small leak", 0.05, new() { LeakBore = settings.LeakBore }),
        ("mouth open, canal widens", 0.15 * Jaw.Widens, Jaw.Wider),
        ("mouth open, canal narrows", 0.15 * (1 - Jaw.Widens), Jaw.Narrower),
    ];

    /// <summary>The scenarios of a problem, all on its own source.</summary>
    public static IReadOnlyList<Scenario> Of(Problem problem) =>
        [.. Cases(new()).Select(one => new Scenario(one.Name, one.Weight, one.Change.Of(problem.Ear), problem.Source))];
}
