using System.Numerics;

namespace XoverOpt.Search;

/// <summary>What a bench measured over frequency: level, phase, impedance, whichever of them there are. Lists are alike in length.</summary>
public sealed record MeasuredCurve
{
    /// <summary>Reference of sound pressure levels, Pa.</summary>
    public const double ReferencePressure = 20e-6;

    /// <summary>Name, such as that of its file.</summary>
    public required string Name { get; init; }

    /// <summary>Frequencies, Hz, rising, at least two.</summary>
    public required double[] Hz { get; init; }

    /// <summary>Level, dB: re 20 µPa where <see cref="IsSpl"/>, else with an unknown reference; null where not measured.</summary>
    public double[]? LevelDb { get; init; }

    /// <summary>Whether the level is sound pressure level, dB re 20 µPa.</summary>
    public bool IsSpl { get; init; }

    /// <summary>Phase of the pressure, degrees, wrapped or not; null where not measured.</summary>
    public double[]? PhaseDeg { get; init; }

    /// <summary>The instant the phase is told from, s after the first sample of an impulse response; 0 for curves read as such.</summary>
    public double PhaseOriginS { get; init; }

    /// <summary>Magnitude of the impedance, Ω; null where not measured.</summary>
    public double[]? ImpedanceOhm { get; init; }

    /// <summary>Phase of the impedance, degrees; null where not measured.</summary>
    public double[]? ImpedancePhaseDeg { get; init; }

    /// <summary>What a reader should know of how it was read.</summary>
    public IReadOnlyList<string> Remarks { get; init; } = [];

    /// <summary>Lowest frequency, Hz.</summary>
    public double LowHz => Hz[0];

    /// <summary>Highest frequency, Hz.</summary>
    public double HighHz => Hz[^1];

    /// <summary>Pressure, Pa RMS (in an unknown unit where the level has no reference); null without both level and phase.</summary>
    public Complex[]? Pressure => LevelDb is null || PhaseDeg is null
        ? null
        : [.. LevelDb.Zip(PhaseDeg, (db, deg) => Complex.FromPolarCoordinates(ReferencePressure * Math.Pow(10, db / 20), deg * Math.PI / 180))];

    /// <summary>Impedance, Ω; null without both magnitude and phase.</summary>
    public Complex[]? Impedance => ImpedanceOhm is null || ImpedancePhaseDeg is null
        ? null
        : [.. ImpedanceOhm.Zip(ImpedancePhaseDeg, (ohm, deg) => Complex.FromPolarCoordinates(ohm, deg * Math.PI / 180))];

    /// <summary>The response of an earpiece as a bench would see it.</summary>
    /// <param name="name">Name of the curve.</param>
    /// <param name="hz">Frequencies, Hz, rising.</param>
    /// <param name="pressure">Pressure, Pa RMS.</param>
    /// <param name="impedance">Impedance, Ω; null where there is none.</param>
    public static MeasuredCurve Of(string name, IReadOnlyList<double> hz, IReadOnlyList<Complex> pressure, IReadOnlyList<Complex>? impedance = null) => new()
    {
        Name = name,
        Hz = [.. hz],
        LevelDb = [.. pressure.Select(p => 20 * Math.Log10(p.Magnitude / ReferencePressure))],
        IsSpl = true,
        PhaseDeg = [.. pressure.Select(p => p.Phase * 180 / Math.PI)],
        ImpedanceOhm = impedance is null ? null : [.. impedance.Select(z => z.Magnitude)],
        ImpedancePhaseDeg = impedance is null ? null : [.. impedance.Select(z => z.Phase * 180 / Math.PI)],
    };
}
