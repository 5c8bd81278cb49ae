using XoverOpt.Acoustics;

namespace XoverOpt.Workshop;

/// <summary>
/// What holds for everything a job leaves out. The smallest job is a target and an inventory. Besides what stands here:
/// <list type="bullet">
/// <item>ways: one for each of the tags low, mid, high that the drawer bears; none of them there, one way "wide" of every receiver
/// tagged wide, or of every receiver.</item>
/// <item>a way's receivers: those tagged with its name. Its bores: all stock tubing. Its dampers: every stock damper, and none.</item>
/// <item>a way's networks: those of its name below whose kinds of part may be used, or a straight wire.</item>
/// <item>passives: all the drawer's.</item>
/// <item>limits, minutes, schedule: none.</item>
/// </list>
/// The level and phase bands are cut to the target band.
/// </summary>
public static class JobDefaults
{
    /// <summary>The job's name.</summary>
    public const string Name = "Untitled job";

    /// <summary>Target band, Hz.</summary>
    public static readonly (double Low, double High) TargetBandHz = (20, 16_000);

    /// <summary>Level band of a relative target, Hz.</summary>
    public static readonly (double Low, double High) LevelBandHz = (200, 2000);

    /// <summary>Phase band, Hz.</summary>
    public static readonly (double Low, double High) PhaseBandHz = (20, 12_000);

    /// <summary>Magnitude tolerance, dB.</summary>
    public const double ToleranceDb = 2.5;

    /// <summary>Phase limit, degrees either side (common practice, no source).</summary>
    public const double PhaseLimitDeg = 10;

    /// <summary>Arrival limit, µs (common practice, no source).</summary>
    public const double ArrivalLimitUs = 10;

    /// <summary>Drive voltage, mV RMS.</summary>
    public const double MillivoltRms = 100;

    /// <summary>Source resistance, Ω.</summary>
    public const double SourceOhm = 1;

    /// <summary>Residual canal bore, mm.</summary>
    public const double ResidualBoreMm = 7.5;

    /// <summary>Air temperature, °C: that of the ear-simulator standard.</summary>
    public const double AirTempC = 23;

    /// <summary>Cutting step of tubes, mm; "tube": { "cutStepMm": … } beside "ways" sets another.</summary>
    public const double CutStepMm = 0.5;

    /// <summary>Tube length, mm.</summary>
    public static readonly (double Min, double Max) TubeLengthMm = (8, 25);

    /// <summary>Evaluations.</summary>
    public const long Evaluations = 2_000_000;

    /// <summary>Seed.</summary>
    public const long Seed = 1;

    /// <summary>Builds kept.</summary>
    public const int Keep = 20;

    /// <summary>Sets the stock must serve.</summary>
    public const int Sets = 1;

    /// <summary>Earpieces in a set: a left and a right.</summary>
    public const int EarpiecesPerSet = 2;

    /// <summary>The ways of a job that lists none, where the drawer bears their tags.</summary>
    public static IReadOnlyList<string> WayNames { get; } = ["low", "mid", "high"];

    /// <summary>The single way of a drawer without those tags.</summary>
    public const string WideWay = "wide";

    /// <summary>Wirings.</summary>
    public static IReadOnlyList<Wiring> Wirings { get; } = [Wiring.Parallel];

    /// <summary>Polarities.</summary>
    public static IReadOnlyList<Polarity> Polarities { get; } = [Polarity.Normal, Polarity.Inverted];

    /// <summary>How many receivers alike, by the way's name.</summary>
    public static IReadOnlyList<int> Counts(string way) => way == "low" ? [1, 2] : [1];

    /// <summary>Networks, by the way's name.</summary>
    public static IReadOnlyList<string[]> Networks(string way) => way switch
    {
        "low" => [["series-resistor"], ["series-resistor", "shunt-capacitor"]],
        "mid" => [["series-resistor"], ["series-resistor", "series-capacitor"]],
        "high" => [["series-capacitor"], ["series-resistor", "series-capacitor"]],
        _ => [["series-resistor"], ["series-resistor", "shunt-capacitor"], ["series-resistor", "series-capacitor"]],
    };
}
