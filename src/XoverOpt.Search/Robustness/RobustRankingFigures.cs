namespace XoverOpt.Search;

/// <summary>How a build holds up, and what it was ranked by. Costs are without penalties: what breaks a limit shows in the yield.</summary>
/// <param name="NominalRank">Its rank by its own cost.</param>
/// <param name="Score">What it is ranked by, less is better; see <see cref="RobustRanking"/>.</param>
/// <param name="NominalCost">Cost of the build as drawn, in the job's ear and on its source.</param>
/// <param name="SpreadCost">What the spread of parts adds to the mean cost; null where it was not asked for.</param>
/// <param name="EarsCost">What other ears add to the mean cost; null where they were not asked for.</param>
/// <param name="SourcesCost">What other sources add to the mean cost; null where they were not asked for.</param>
/// <param name="Yield">Share of units that keep every limit that varies; null where the spread was not asked for.</param>
public sealed record RobustRankingFigures(
    int NominalRank,
    double Score,
    double NominalCost,
    SpreadEstimate? SpreadCost,
    double? EarsCost,
    double? SourcesCost,
    SpreadEstimate? Yield)
{
    /// <summary>
    /// Its score less that of the build that came first. All builds meet the same draws, so the standard error is that of the differences unit by
    /// unit, smaller than either's own; null where the spread was not asked for.
    /// </summary>
    public SpreadEstimate? Behind { get; init; }

    /// <summary>Whether the draws tell it from the build that came first: by more than twice the standard error.</summary>
    public bool IsTold => Behind is not { } behind || Math.Abs(behind.Value) > 2 * behind.StandardError;

    /// <summary>Expected cost: the build as drawn and what parts, ears and sources add.</summary>
    public double ExpectedCost => NominalCost + (SpreadCost?.Value ?? 0) + (EarsCost ?? 0) + (SourcesCost ?? 0);
}
