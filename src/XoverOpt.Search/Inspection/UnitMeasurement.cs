namespace XoverOpt.Search;

/// <summary>What a test bench measured of one unit. Arrays run with <paramref name="Hz"/>; what was not measured is null.</summary>
/// <param name="Hz">Frequencies, Hz, rising.</param>
/// <param name="SplDb">Level at the ear simulator's microphone for the job's drive, dB re 20 µPa.</param>
/// <param name="PhaseDeg">Its phase against the source, degrees.</param>
/// <param name="ImpedanceOhm">Magnitude of the impedance at the socket, Ω.</param>
/// <param name="ImpedancePhaseDeg">Its phase, degrees.</param>
public sealed record UnitMeasurement(double[] Hz, double[] SplDb, double[]? PhaseDeg = null, double[]? ImpedanceOhm = null, double[]? ImpedancePhaseDeg = null)
{
    /// <summary>Points an octave that count as independent; nearer ones are passed over, as neighbours err alike.</summary>
    public const int PointsPerOctave = 12;

    /// <summary>Lowest frequency that is looked at, Hz.</summary>
    public const double FromHz = 20;

    /// <summary>Highest frequency that is looked at, Hz.</summary>
    public const double ToHz = 20_000;

    /// <summary>The points that an inspection looks at: the nearest to each twelfth of an octave from 20 Hz to 20 kHz.</summary>
    public UnitMeasurement Thinned()
    {
        int[] kept = [.. Enumerable.Range(0, Hz.Length).Where(k => Hz[k] is >= FromHz * 0.999 and <= ToHz * 1.001)
            .GroupBy(k => Math.Round(PointsPerOctave * Math.Log2(Hz[k] / 1000)))
            .Select(near => near.MinBy(k => Math.Abs((PointsPerOctave * Math.Log2(Hz[k] / 1000)) - near.Key)))];
        double[] Keep(double[] values) => [.. kept.Select(k => values[k])];
        double[]? Perhaps(double[]? values) => values is null ? null : Keep(values);
        return new(Keep(Hz), Keep(SplDb), Perhaps(PhaseDeg), Perhaps(ImpedanceOhm), Perhaps(ImpedancePhaseDeg));
    }
}

/// <summary>How far a bench is trusted, one standard deviation each (assumed; set them to what the bench repeats to).</summary>
public sealed record BenchNoise
{
    /// <summary>Level at each frequency, dB.</summary>
    public double LevelDb { get; init; } = 0.3;

    /// <summary>Level as a whole, dB: drive and microphone calibration.</summary>
    public double OffsetDb { get; init; } = 0.3;

    /// <summary>Phase at each frequency, degrees.</summary>
    public double PhaseDeg { get; init; } = 2;

    /// <summary>Delay of the bench, s.</summary>
    public double Delay { get; init; } = 5e-6;

    /// <summary>Impedance magnitude at each frequency, %.</summary>
    public double ImpedancePercent { get; init; } = 2;

    /// <summary>Impedance phase at each frequency, degrees.</summary>
    public double ImpedancePhaseDeg { get; init; } = 1;
}
