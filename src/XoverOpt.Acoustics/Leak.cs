using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>A leak past the seal, from the junction to the room: a resistance and a mass in series.</summary>
/// <param name="Resistance">Acoustic resistance R, Pa·s/m³.</param>
/// <param name="Mass">Acoustic mass M, kg/m⁴.</param>
public sealed record Leak(double Resistance, double Mass)
{
    /// <summary>
    /// A round hole or channel at low frequencies, where friction governs it: R = 8ηl/(πa⁴), M = 4ρl/(3πa²), a the radius (the slow limit of the
    /// exact tube; Poiseuille's law).
    /// </summary>
    /// <param name="length">l, m.</param>
    /// <param name="bore">2a, m.</param>
    /// <param name="air">The air in it.</param>
    public static Leak Hole(double length, double bore, Air air)
    {
        double a = bore / 2;
        return new(8 * air.Viscosity * length / (Math.PI * Math.Pow(a, 4)), 4 * air.Density * length / (3 * Math.PI * a * a));
    }

    /// <summary>R + jωM, Pa·s/m³.</summary>
    public Complex Impedance(double omega) => new(Resistance, omega * Mass);
}
