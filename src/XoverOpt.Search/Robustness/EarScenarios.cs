namespace XoverOpt.Search;

/// <summary>
/// The ears a build should hold up in, around the job's own. Cases and weights are choices to compare builds by: common practice, no
/// source. The element sets of the simulator are no scenarios: they are three models of one average ear.
/// </summary>
public static class EarScenarios
{
    /// <summary>How deep a deep seal sits beyond the job's, m; the model of the ear may allow less.</summary>
    public const double DeepSeal = 2e-3;

    /// <summary>Residual canal that a shallow seal leaves beyond the job's, m.</summary>
    public const double ShallowSeal = 4e-3;

    /// <summary>Volume of a small ear over the average.</summary>
    public const double SmallEar = 0.8;

    /// <summary>Volume of a large ear over the average.</summary>
    public const double LargeEar = 1.25;

    /// <summary>Bore of a small leak past the seal, m.</summary>
    public const double SmallLeak = 0.3e-3;

    /// <summary>The cases, the job's own ear first.</summary>
    public static IReadOnlyList<(string Name, double Weight, EarChange Change)> Cases { get; } =
    [
        ("the job's ear", 0.30, new()),
        ("deep seal", 0.15, new() { Depth = DeepSeal }),
        ("shallow seal", 0.15, new() { Depth = -ShallowSeal }),
        ("small ear", 0.10, new() { SizeRatio = SmallEar }),
        ("large ear", 0.10, new() { SizeRatio = LargeEar }),
        ("small leak", 0.05, new() { LeakBore = SmallLeak }),
        ("mouth open, canal widens", 0.15 * Jaw.Widens, Jaw.Wider),
        ("mouth open, canal narrows", 0.15 * (1 - Jaw.Widens), Jaw.Narrower),
    ];

    /// <summary>The scenarios of a problem, all on its own source.</summary>
    public static IReadOnlyList<Scenario> Of(Problem problem) =>
        [.. Cases.Select(one => new Scenario(one.Name, one.Weight, one.Change.Of(problem.Ear), problem.Source))];
}
