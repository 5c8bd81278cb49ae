using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>A build in the ranked list.</summary>
/// <param name="Rank">1 is best.</param>
/// <param name="Earpiece">What is to be built; every value can be bought or cut.</param>
/// <param name="Cost">Its cost.</param>
/// <param name="Figures">Its figures.</param>
/// <param name="Feasible">Whether it keeps every limit.</param>
/// <param name="Violation">How far limits are broken, 0 when feasible.</param>
/// <param name="BrokenLimits">Which limits are broken, in words with numbers; empty when feasible.</param>
/// <param name="RelaxedCost">Cost of the same layout with ideal values, before snapping to what can be bought.</param>
/// <param name="Key">Canonical key: equal for equal builds, independent of the order of ways.</param>
public sealed record RankedBuild(
    int Rank,
    Earpiece Earpiece,
    CostBreakdown Cost,
    BuildFigures Figures,
    bool Feasible,
    double Violation,
    IReadOnlyList<string> BrokenLimits,
    double RelaxedCost,
    string Key)
{
    /// <summary>
    /// What choosing values that can be bought or cut costs: cost beyond <see cref="RelaxedCost"/>, % of it. NaN where the relaxed cost
    /// is not known or zero; below zero where the search for ideal values had not quite ended.
    /// </summary>
    public double SnappingLossPercent => RelaxedCost > 0 ? 100 * (Cost.Total - RelaxedCost) / RelaxedCost : double.NaN;

    /// <summary>What would improve it most, best first; empty where nobody asked.</summary>
    public IReadOnlyList<Advice> Advice { get; init; } = [];

    /// <summary>How it holds up when parts, ears and sources vary; null where the job did not ask.</summary>
    public RobustRankingFigures? Robust { get; init; }
}
