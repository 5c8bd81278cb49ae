namespace XoverOpt.Search;

/// <summary>A piece of work: a layout to be optimised from some starts, or to be made buildable. Plain data.</summary>
/// <param name="Layout">The layout.</param>
/// <param name="Starts">Starting points, each in the unit cube.</param>
/// <param name="PointsPerOctave">Grid to work on: 6, 12 or 24.</param>
/// <param name="EvaluationsPerStart">Most evaluations a start.</param>
/// <param name="BeamWidth">0 to optimise; otherwise snap to what can be bought, keeping this many part-snapped builds.</param>
public sealed record Trial(Layout Layout, IReadOnlyList<double[]> Starts, int PointsPerOctave, int EvaluationsPerStart, int BeamWidth);

/// <summary>What came of a trial.</summary>
/// <param name="Cost">Lowest cost reached.</param>
/// <param name="Unit">Where, in the unit cube.</param>
/// <param name="Evaluations">Evaluations used.</param>
/// <param name="Choices">For a snapped build, the choice of each value; otherwise null.</param>
/// <param name="MagnitudeRmsDb">RMS magnitude error, dB.</param>
/// <param name="PhaseMaxDeg">Largest phase deviation, degrees.</param>
public sealed record TrialResult(double Cost, double[] Unit, int Evaluations, int[]? Choices, double MagnitudeRmsDb, double PhaseMaxDeg);
