namespace XoverOpt.Search;

/// <summary>The other ears to look at. Every number is a choice to compare builds by: common practice, no source.</summary>
public sealed record EarSettings
{
    /// <summary>How much deeper than the job's a deep seal sits, m; the model of the ear may allow less.</summary>
    public double DeepSeal { get; init; } = 2e-3;

    /// <summary>Residual canal that a shallow seal leaves beyond the job's, m.</summary>
    public double ShallowSeal { get; init; } = 4e-3;

    /// <summary>Volume of a small ear over the average.</summary>
    public double SmallEar { get; init; } = 0.8;

    /// <summary>Volume of a large ear over the average.</summary>
    public double LargeEar { get; init; } = 1.25;

    /// <summary>Bore of a round leak past the seal, m, 10 mm long.</summary>
    public double LeakBore { get; init; } = 0.3e-3;

    /// <summary>Volume of a left ear over the average.</summary>
    public double LeftEar { get; init; } = 0.9;

    /// <summary>Volume of the right ear of the same head over the average.</summary>
    public double RightEar { get; init; } = 1.1;
}
