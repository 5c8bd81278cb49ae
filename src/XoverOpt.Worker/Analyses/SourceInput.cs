using XoverOpt.Search;
using XoverOpt.Worker.Commands;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Analyses;

/// <summary>What may be asked of other sources, by option or query.</summary>
internal static class SourceInput
{
    private static readonly NumberSetting
        _ohms = new("ohm", "Output resistances, Ω; 0.1 to 120 if left out, the 120 Ω of IEC 61938 among them.", NumberRange.NotNegative(1000, "Ω"), Many: true),
        _within = new("withinDb", "The change of shape that a pad should keep to, dB; 1 if left out.", NumberRange.Positive(20, "dB")),
        _load = new("leastLoadOhm", "The least load a pad may leave, Ω; the job's limit, or the build's own lowest, if left out.", NumberRange.NotNegative(1000, "Ω"));

    /// <summary>Every number.</summary>
    public static IReadOnlyList<NumberSetting> All { get; } = [_ohms, _within, _load];

    /// <summary>The settings, defaults for what was left out.</summary>
    public static SourceSettings Settings(GivenNumbers given)
    {
        SourceSettings usual = new();
        return new() { Ohms = [.. given.All(_ohms, usual.Ohms).Distinct().Order().Take(50)], WithinDb = given.One(_within, usual.WithinDb), LeastLoadOhm = given.Optional(_load) };
    }
}
