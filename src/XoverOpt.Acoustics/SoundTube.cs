using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>
/// A round sound tube with friction and heat at its walls: the Zwikker–Kosten (low reduced frequency Kirchhoff) form, plane waves.
/// <code>
/// z = (jωρ/S) / (1 − F(k_v a))                series impedance per metre, Pa·s/m⁴
/// y = (jωS/ρc²) (1 + (γ − 1) F(k_t a))        shunt admittance per metre, m²/(Pa·s)
/// k_v = √(−jωρ/η),   k_t = √(−jω/α_t),   S = πa²,   a = bore/2
/// Γ = √(zy),   Z_c = √(z/y)
/// M = [ cosh Γl, Z_c sinh Γl ; sinh Γl / Z_c, cosh Γl ]
/// </code>
/// Source: C. Zwikker and C. W. Kosten, Sound Absorbing Materials (1949); IEC 61094-2 uses the same form for capillary tubes. Valid
/// while only the plane wave travels, below 1.841 c/(2πa) (the first crosswise mode of a round pipe): 68 kHz for a 3 mm bore,
/// 135 kHz for 1.5 mm, 27 kHz for a 7.5 mm ear canal. Ends are not corrected for; a tapered bore is a chain of short tubes.
/// </summary>
public static class SoundTube
{
    /// <summary>
    /// Γ, 1/m, and Z_c, Pa·s/m³. They depend on frequency and bore only, so a table of them per bore is exact.
    /// </summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    /// <param name="bore">Inner diameter 2a, m.</param>
    /// <param name="air">The air in the tube.</param>
    public static (Complex Gamma, Complex Zc) Line(double omega, double bore, Air air)
    {
        double a = bore / 2, S = Math.PI * a * a;
        Complex friction = BoundaryLayer.At(new Complex(0, -omega * air.Density * a * a / air.Viscosity)).OneMinusF;
        Complex heat = BoundaryLayer.At(new Complex(0, -omega * a * a / air.ThermalDiffusivity)).F;

        Complex z = new Complex(0, omega * air.Density / S) / friction;
        Complex y = new Complex(0, omega * S / air.BulkModulus) * (1 + ((air.HeatRatio - 1) * heat));

        // z and y both lie in one quadrant, so the principal root is the wave that dies out, and z/Γ is √(z/y).
        Complex gamma = Complex.Sqrt(z * y);
        return (gamma, z / gamma);
    }

    /// <summary>The chain matrix of a tube; the identity for no length.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    /// <param name="length">l, m.</param>
    /// <param name="bore">Inner diameter 2a, m.</param>
    /// <param name="air">The air in the tube.</param>
    public static TwoPort Matrix(double omega, double length, double bore, Air air)
    {
        if (length == 0)
        {
            return TwoPort.Identity;
        }

        (Complex gamma, Complex zc) = Line(omega, bore, air);
        Complex cosh = Complex.Cosh(gamma * length), sinh = Complex.Sinh(gamma * length);
        return new TwoPort(cosh, zc * sinh, sinh / zc, cosh);
    }
}
