using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>A leak past the seal, from the junction to the room: a resistance and a mass in series.</summary>
/// <param name="Resistance">Acoustic resistance R, Pa·s/m³.</param>
/// <param name="Mass">Acoustic mass M, kg/m⁴.</param>
public sealed record Leak(double Resistance, double Mass)
{
    /// <summary>R + jωM, Pa·s/m³.</summary>
    public Complex Impedance(double omega) => new(Resistance, omega * Mass);
}
