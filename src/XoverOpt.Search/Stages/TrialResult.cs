namespace XoverOpt.Search;

/// <summary>What came of a trial.</summary>
/// <param name="Cost">Lowest cost reached.</param>
/// <param name="Unit">Where, in the unit cube.</param>
/// <param name="Evaluations">Evaluations used; one with derivatives counts <see cref="Descent.StepCost"/>.</param>
/// <param name="Choices">For a snapped build, the choice of each value; otherwise null.</param>
/// <param name="MagnitudeRmsDb">RMS magnitude error, dB.</param>
/// <param name="PhaseMaxDeg">Largest phase deviation, degrees.</param>
/// <param name="Ends">Where each independent random start ended that was carried to its end.</param>
public sealed record TrialResult(
    double Cost, double[] Unit, int Evaluations, int[]? Choices, double MagnitudeRmsDb, double PhaseMaxDeg, IReadOnlyList<StartEnd> Ends)
{
    /// <summary>The layout, where it is another than the trial's; null where it is not.</summary>
    public Layout? Layout { get; init; }
}
