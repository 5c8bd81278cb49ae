using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>
/// One section of a ladder network: a resistor, a capacitor and a coil in series with one another, any of which may be absent but
/// not all, in line with the lead or across the leads. SI units.
/// <code>
/// Z = R + (ESR + 1/(jωC)) + (DCR + jωL)      each term only where its part is present
/// in line: [ 1, Z ; 0, 1 ]      across: [ 1, 0 ; 1/Z, 1 ]
/// </code>
/// </summary>
/// <param name="Place">In line or across.</param>
/// <param name="Resistance">Resistor R, Ω; null where absent.</param>
/// <param name="Capacitance">Capacitor C, F; null where absent.</param>
/// <param name="Inductance">Coil L, H; null where absent.</param>
/// <param name="CapacitorEsr">Equivalent series resistance ESR of the capacitor, Ω; counts only with a capacitor.</param>
/// <param name="CoilDcr">DC resistance DCR of the coil, Ω; counts only with a coil.</param>
public sealed record NetworkSection(
    SectionPlace Place,
    double? Resistance = null,
    double? Capacitance = null,
    double? Inductance = null,
    double CapacitorEsr = 0,
    double CoilDcr = 0)
{
    /// <summary>Z, Ω.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    public Complex Impedance(double omega)
    {
        Complex z = Resistance ?? 0;
        if (Capacitance is { } c)
        {
            z += new Complex(CapacitorEsr, -1 / (omega * c));
        }

        if (Inductance is { } l)
        {
            z += new Complex(CoilDcr, omega * l);
        }

        return z;
    }

    /// <summary>The section as a two-port.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    public TwoPort Matrix(double omega) => Place == SectionPlace.Series
        ? TwoPort.Series(Impedance(omega))
        : TwoPort.Shunt(Complex.Reciprocal(Impedance(omega)));
}
