namespace XoverOpt.Search;

/// <summary>How far a search has come.</summary>
/// <param name="Phase">What it is doing, such as "exploring layouts".</param>
/// <param name="Evaluations">Evaluations so far.</param>
/// <param name="EvaluationBudget">Evaluations it may use.</param>
/// <param name="LayoutsTried">Different layouts optimised so far.</param>
/// <param name="LayoutsAllowed">Layouts the job allows.</param>
/// <param name="BestCost">Lowest cost so far; null before the first.</param>
/// <param name="BestMagnitudeRmsDb">Its RMS magnitude error, dB.</param>
/// <param name="BestPhaseMaxDeg">Its largest phase deviation, degrees.</param>
public sealed record SearchProgress(
    string Phase,
    long Evaluations,
    long EvaluationBudget,
    long LayoutsTried,
    double LayoutsAllowed,
    double? BestCost,
    double? BestMagnitudeRmsDb,
    double? BestPhaseMaxDeg)
{
    /// <summary>What a stage is called.</summary>
    public static string PhaseOf(SearchStage stage) => stage switch
    {
        SearchStage.Known => "taking up known builds",
        SearchStage.Explore => "exploring layouts",
        SearchStage.Improve => "improving layouts",
        SearchStage.Refine => "refining the best",
        SearchStage.Snap => "fitting stock values",
        _ => "done",
    };
}
