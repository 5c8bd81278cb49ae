namespace XoverOpt.Search;

/// <summary>One measured curve of a receiver with how it was taken.</summary>
public sealed record ReceiverMeasurement
{
    /// <summary>What was measured.</summary>
    public required MeasuredCurve Curve { get; init; }

    /// <summary>What the receiver spoke into.</summary>
    public required AcousticLoad Load { get; init; }

    /// <summary>Open-circuit voltage of the source, V RMS.</summary>
    public required double DriveVoltage { get; init; }

    /// <summary>Output resistance of the source, Ω.</summary>
    public double SourceResistance { get; init; }

    /// <summary>Whether the phase of the pressure has a delay of its own in it, such as that of an analyser, which is then left out of account.</summary>
    public bool DelayUnknown { get; init; }
}

/// <summary>One standard deviation of the noise of measurements.</summary>
/// <param name="LevelDb">Level, dB.</param>
/// <param name="PhaseDeg">Phases, degrees.</param>
/// <param name="ImpedancePercent">Magnitude of the impedance, %.</param>
public sealed record MeasurementNoise(double LevelDb, double PhaseDeg, double ImpedancePercent);
