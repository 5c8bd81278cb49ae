namespace XoverOpt.Search;

/// <summary>A narrow dip of a measured curve.</summary>
/// <param name="Hz">Where, Hz.</param>
/// <param name="DepthDb">How far below its lower shoulder within half an octave, dB.</param>
/// <param name="ExcessStepDeg">How far the excess phase moves across it, degrees; null without a phase.</param>
public sealed record MeasuredNotch(double Hz, double DepthDb, double? ExcessStepDeg)
{
    /// <summary>From this step on something arrives out of step there, degrees: half of what a full cancellation turns the phase by.</summary>
    public const double OutOfStepDeg = 90;

    /// <summary>
    /// Whether sounds cancel there that no filter brings back. A dip of minimum phase may still be two sounds of which the later is the weaker; one curve
    /// cannot tell that from a resonance.
    /// </summary>
    public bool? Cancels => ExcessStepDeg is { } step ? Math.Abs(step) >= OutOfStepDeg : null;
}

/// <summary>What one measured curve tells by itself, in the figures builds have. Null: it cannot be told, and <see cref="Unknown"/> says why.</summary>
public sealed record MeasuredFigures
{
    /// <summary>Name of the curve.</summary>
    public required string Name { get; init; }

    /// <summary>Band that was measured, Hz.</summary>
    public required (double Low, double High) MeasuredHz { get; init; }

    /// <summary>Part of the target band in it, Hz; null where there is no target or none of it was measured.</summary>
    public (double Low, double High)? MagnitudeHz { get; init; }

    /// <summary>Weighted RMS magnitude error over that part, dB.</summary>
    public double? MagnitudeRmsDb { get; init; }

    /// <summary>Largest magnitude error in it, dB.</summary>
    public double? MagnitudeMaxDb { get; init; }

    /// <summary>Part of the phase band that was measured, Hz.</summary>
    public (double Low, double High)? PhaseHz { get; init; }

    /// <summary>RMS of the phase figure over it, degrees.</summary>
    public double? PhaseRmsDeg { get; init; }

    /// <summary>Largest deviation of the phase figure, degrees.</summary>
    public double? PhaseMaxDeg { get; init; }

    /// <summary>
    /// How far the phase figure moves at most when the magnitude beyond the data, which the minimum phase hangs on, is taken as level instead of going on
    /// as it ends, degrees.
    /// </summary>
    public double? PhaseDoubtDeg { get; init; }

    /// <summary>Delay beyond the minimum phase, µs.</summary>
    public double? DelayUs { get; init; }

    /// <summary>Level at 500 Hz and 1 kHz as measured, dB re 20 µPa.</summary>
    public (double? At500, double? At1000) SplDb { get; init; }

    /// <summary>Lowest impedance in the measured part of the target band (of the whole curve without a target), Ω.</summary>
    public double? ImpedanceMinOhm { get; init; }

    /// <summary>Impedance at 1 kHz, Ω.</summary>
    public double? Impedance1kHzOhm { get; init; }

    /// <summary>Narrow dips, from low to high.</summary>
    public IReadOnlyList<MeasuredNotch> Notches { get; init; } = [];

    /// <summary>What cannot be told and why, in words.</summary>
    public required IReadOnlyList<string> Unknown { get; init; }

    /// <summary>The curve on the grid all curves share.</summary>
    public required MeasuredOnGrid OnGrid { get; init; }
}

/// <summary>A measured curve on the grid of the figures; not a number where it was not measured.</summary>
/// <param name="Hz">Grid, Hz.</param>
/// <param name="LevelDb">Level, dB.</param>
/// <param name="ErrorDb">Magnitude error against the target, dB.</param>
/// <param name="MinimumDeg">Minimum phase, degrees.</param>
/// <param name="ExcessDeg">Phase figure: what is left without minimum phase and delay, degrees.</param>
/// <param name="ImpedanceOhm">Magnitude of the impedance, Ω.</param>
public sealed record MeasuredOnGrid(double[] Hz, double[] LevelDb, double[] ErrorDb, double[] MinimumDeg, double[] ExcessDeg, double[] ImpedanceOhm);
