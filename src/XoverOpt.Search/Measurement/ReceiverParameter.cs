using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>One parameter of a receiver as a fit moves it: on a logarithmic scale between bounds.</summary>
/// <param name="Name">Key in the receiver file, with the unit in it.</param>
/// <param name="Unit">Unit of <see cref="Scale"/>, as people write it.</param>
/// <param name="Scale">SI units to one such unit.</param>
/// <param name="Lowest">Lower bound, SI. The bounds are wide: what the trade makes lies well within (common practice, no source).</param>
/// <param name="Highest">Upper bound, SI.</param>
/// <param name="Usual">Where a fit begins if nothing better is known, SI.</param>
/// <param name="Of">Its value in a receiver, SI; null where it has none.</param>
/// <param name="With">A receiver with another value, SI.</param>
public sealed record ReceiverParameter(
    string Name, string Unit, double Scale, double Lowest, double Highest, double Usual, Func<Receiver, double?> Of, Func<Receiver, double, Receiver> With)
{
    /// <summary>Number of the coil resistance in <see cref="All"/>; the others likewise.</summary>
    public const int DcResistance = 0, Inductance = 1, SemiInductance = 2, ForceFactor = 3, Mass = 4, Compliance = 5, Resistance = 6,
        DiaphragmArea = 7, RearVolume = 8, FrontVolume = 9, SpoutLength = 10, SpoutBore = 11;

    /// <summary>Every parameter.</summary>
    public static IReadOnlyList<ReceiverParameter> All { get; } =
    [
        new("dcResistanceOhm", "Ω", 1, 1, 5000, 40, r => r.DcResistance, (r, v) => r with { DcResistance = v }),
        new("inductanceMh", "mH", 1e-3, 1e-5, 10, 2.4e-3, r => r.Inductance, (r, v) => r with { Inductance = v }),
        new("semiInductance", "Ω·s^½", 1, 0.01, 1000, 1, r => r.SemiInductance, (r, v) => r with { SemiInductance = v }),
        new("forceFactorNPerA", "N/A", 1, 0.05, 20, 1.1, r => r.ForceFactor, (r, v) => r with { ForceFactor = v }),
        new("massMg", "mg", 1e-6, 2e-8, 5e-5, 1.4e-6, r => r.Mass, (r, v) => r with { Mass = v }),
        new("complianceMmPerN", "mm/N", 1e-3, 1e-4, 0.02, 2e-3, r => r.Compliance, (r, v) => r with { Compliance = v }),
        new("resistanceNsPerM", "N·s/m", 1, 1e-4, 0.2, 4e-3, r => r.Resistance, (r, v) => r with { Resistance = v }),
        new("diaphragmMm2", "mm²", 1e-6, 1e-6, 6e-5, 8e-6, r => r.DiaphragmArea, (r, v) => r with { DiaphragmArea = v }),
        new("rearVolumeMm3", "mm³", 1e-9, 2e-9, 2e-6, 1e-7, r => r.RearVolume, (r, v) => r with { RearVolume = v }),
        new("frontVolumeMm3", "mm³", 1e-9, 2e-10, 2e-7, 1e-8, r => r.FrontVolume, (r, v) => r with { FrontVolume = v }),
        new("spoutLengthMm", "mm", 1e-3, 1e-4, 0.01, 1.3e-3, r => r.SpoutLength, (r, v) => r with { SpoutLength = v }),
        new("spoutBoreMm", "mm", 1e-3, 5e-4, 4e-3, 1.5e-3, r => r.SpoutBore, (r, v) => r with { SpoutBore = v }),
    ];

    /// <summary>A value between the bounds, SI, for a place in [0, 1].</summary>
    public double At(double place) => Lowest * Math.Pow(Highest / Lowest, place);

    /// <summary>The place in [0, 1] of a value, SI.</summary>
    public double PlaceOf(double value) => Math.Clamp(Math.Log(value / Lowest) / LogRange, 0, 1);

    /// <summary>ln(highest/lowest).</summary>
    public double LogRange => Math.Log(Highest / Lowest);
}
