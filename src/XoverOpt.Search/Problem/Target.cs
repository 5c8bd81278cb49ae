namespace XoverOpt.Search;

/// <summary>How the target's level is meant.</summary>
public enum LevelKind
{
    /// <summary>The curve's shape counts; its offset is the weighted mean difference over the level band.</summary>
    Relative,

    /// <summary>The curve is eardrum SPL, dB re 20 µPa, at the job's drive.</summary>
    Absolute,
}

/// <summary>The wanted eardrum response.</summary>
/// <param name="Curve">dB over frequency.</param>
/// <param name="Weights">Weight of the magnitude error over frequency, ≥ 0.</param>
/// <param name="BandLowHz">Lower edge of the band that counts.</param>
/// <param name="BandHighHz">Upper edge of the band that counts.</param>
/// <param name="ToleranceDb">Largest error that is let through.</param>
/// <param name="Level">Shape or absolute level.</param>
/// <param name="LevelLowHz">Lower edge of the level band.</param>
/// <param name="LevelHighHz">Upper edge of the level band.</param>
public sealed record Target(
    LogCurve Curve,
    LogCurve Weights,
    double BandLowHz,
    double BandHighHz,
    double ToleranceDb,
    LevelKind Level,
    double LevelLowHz,
    double LevelHighHz);

/// <summary>What is left in the phase figure.</summary>
public enum PhaseKind
{
    /// <summary>Phase beyond the minimum phase and a pure delay.</summary>
    Excess,

    /// <summary>Phase with only a pure delay removed.</summary>
    DelayRemoved,
}

/// <summary>What is asked of phase and arrival.</summary>
/// <param name="Kind">What is left in the phase figure.</param>
/// <param name="BandLowHz">Lower edge of the phase band.</param>
/// <param name="BandHighHz">Upper edge of the phase band.</param>
/// <param name="LimitDeg">Largest phase that is let through, either side.</param>
/// <param name="ArrivalLimit">Largest arrival spread between ways, s.</param>
public sealed record PhaseGoal(PhaseKind Kind, double BandLowHz, double BandHighHz, double LimitDeg, double ArrivalLimit);
