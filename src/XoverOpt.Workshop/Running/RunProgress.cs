using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>How far a run has come and how fast it goes.</summary>
/// <param name="Search">How far the search has come.</param>
/// <param name="EvaluationsPerSecond">Evaluations a second over the last ten seconds or so; 0 before the first batch.</param>
/// <param name="Used">Working time so far, that before an interruption included.</param>
/// <param name="Left">Working time left at this rate; null while it cannot be told.</param>
public sealed record RunProgress(SearchProgress Search, double EvaluationsPerSecond, TimeSpan Used, TimeSpan? Left)
{
    /// <summary>Share of the evaluating threads' time that went into anything but trials ended, 0 to 1, since work began here.</summary>
    public double OutsideEvaluation { get; init; }
}
