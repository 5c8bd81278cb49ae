namespace XoverOpt.Acoustics;

/// <summary>Where a network section stands in the ladder.</summary>
public enum SectionPlace
{
    /// <summary>In line with the signal lead.</summary>
    Series,

    /// <summary>Across the two leads.</summary>
    Shunt,
}

/// <summary>
/// One section of a ladder network: a resistor, a capacitor and a coil in series with one another, any of which may be absent,
/// in line with the lead or across the leads. SI units.
/// </summary>
/// <param name="Place">In line or across.</param>
/// <param name="Resistance">Resistor, Ω; null where absent.</param>
/// <param name="Capacitance">Capacitor, F; null where absent.</param>
/// <param name="Inductance">Coil, H; null where absent.</param>
/// <param name="CapacitorEsr">Equivalent series resistance of the capacitor, Ω.</param>
/// <param name="CoilDcr">DC resistance of the coil, Ω.</param>
public sealed record NetworkSection(
    SectionPlace Place,
    double? Resistance = null,
    double? Capacitance = null,
    double? Inductance = null,
    double CapacitorEsr = 0,
    double CoilDcr = 0);
