namespace XoverOpt.Workshop;

/// <summary>What a full-scale sample of a WAV stands for: said outright, or by the level the curve has at one frequency.</summary>
/// <param name="PascalPerFullScale">Pa for a sample of 1; null where not known.</param>
/// <param name="LevelDb">Level at <paramref name="AtHz"/>, dB re 20 µPa; null where not known.</param>
/// <param name="AtHz">That frequency, Hz.</param>
/// <param name="Channel">The channel to read, from 1; null for the only one.</param>
public sealed record MeasuredCalibration(double? PascalPerFullScale = null, double? LevelDb = null, double AtHz = 1000, int? Channel = null)
{
    /// <summary>Nothing known: levels have no reference.</summary>
    public static MeasuredCalibration None { get; } = new();

    /// <summary>From volts and a microphone.</summary>
    /// <param name="voltPerFullScale">V for a sample of 1.</param>
    /// <param name="millivoltPerPascal">Sensitivity of the microphone with its amplifier, mV/Pa.</param>
    public static MeasuredCalibration OfVolts(double voltPerFullScale, double millivoltPerPascal) =>
        new(PascalPerFullScale: voltPerFullScale / (millivoltPerPascal * 1e-3));
}
