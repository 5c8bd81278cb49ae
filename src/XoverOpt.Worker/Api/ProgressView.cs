using XoverOpt.Search;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Api;

/// <summary>How far a run has come.</summary>
/// <param name="Phase">What it is doing.</param>
/// <param name="Fraction">Share of the evaluations used, 0 to 1.</param>
/// <param name="Evaluations">Evaluations so far.</param>
/// <param name="EvaluationBudget">Evaluations it may use.</param>
/// <param name="EvaluationsPerSecond">Over the last ten seconds or so.</param>
/// <param name="LayoutsTried">Different layouts optimised so far.</param>
/// <param name="LayoutsAllowed">Layouts the job allows.</param>
/// <param name="UsedSeconds">Working time so far, s.</param>
/// <param name="LeftSeconds">Working time left at this rate, s; absent while it cannot be told.</param>
/// <param name="Best">Figures of the best so far; absent before the first.</param>
/// <param name="OutsideEvaluation">Share of the evaluating threads' time that went into anything but evaluation, 0 to 1.</param>
public sealed record ProgressView(
    string Phase,
    double Fraction,
    long Evaluations,
    long EvaluationBudget,
    double EvaluationsPerSecond,
    long LayoutsTried,
    double? LayoutsAllowed,
    double UsedSeconds,
    double? LeftSeconds,
    BestView? Best,
    double OutsideEvaluation)
{
    internal static ProgressView Of(RunProgress progress)
    {
        SearchProgress search = progress.Search;
        return new ProgressView(
            search.Phase,
            search.EvaluationBudget > 0 ? Math.Min(1, (double)search.Evaluations / search.EvaluationBudget) : 0,
            search.Evaluations,
            search.EvaluationBudget,
            Math.Round(progress.EvaluationsPerSecond),
            search.LayoutsTried,
            Finite(search.LayoutsAllowed),
            Math.Round(progress.Used.TotalSeconds, 1),
            progress.Left is { } left ? Math.Round(left.TotalSeconds, 1) : null,
            search.BestCost is null ? null : new BestView(Finite(search.BestCost), Finite(search.BestMagnitudeRmsDb), Finite(search.BestPhaseMaxDeg)),
            Math.Round(progress.OutsideEvaluation, 4));
    }

    private static double? Finite(double? value) => value is { } number && double.IsFinite(number) ? number : null;
}

/// <summary>Figures of the best build so far.</summary>
/// <param name="Cost">Its cost.</param>
/// <param name="MagnitudeRmsDb">Its RMS magnitude error, dB.</param>
/// <param name="PhaseMaxDeg">Its largest phase deviation, degrees.</param>
public sealed record BestView(double? Cost, double? MagnitudeRmsDb, double? PhaseMaxDeg);
