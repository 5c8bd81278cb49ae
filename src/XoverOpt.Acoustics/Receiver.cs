using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>
/// The parameters of one balanced-armature receiver, in SI units, and its linear two-port.
/// <code>
/// Z_e = R_dc + (jωL ∥ K√(jω))                              coil, Ω; either branch may be absent
/// Z_m = r + jωm + 1/(jωC_m) + S_d² ρc²/(jωV_rear)          mechanical, N·s/m
/// M_motor = [ Z_e S_d/T,  Z_e Z_m/(T S_d) + T/S_d ;  S_d/T,  Z_m/(T S_d) ]
/// M = M_motor · [ 1, 0 ; jωV_front/ρc², 1 ] · spout        spout: a sound tube
/// </code>
/// Force = T·i on the armature and back-EMF = T·v: the anti-reciprocal gyrator, so that det M = −1 (F. V. Hunt, Electroacoustics,
/// 1954; N. Kim and J. B. Allen, Hearing Research 301 (2013)). M_motor follows from V = Z_e i + T v and T i = Z_m v + S_d p with
/// U = S_d v. Linear and small-signal: no saturation, no stops.
/// </summary>
public sealed record Receiver
{
    /// <summary>The part number it is bought under.</summary>
    public required string PartNumber { get; init; }

    /// <summary>Coil resistance at DC, Ω.</summary>
    public required double DcResistance { get; init; }

    /// <summary>Coil inductance, H; null where the coil has no such branch.</summary>
    public double? Inductance { get; init; }

    /// <summary>Semi-inductance K of the eddy-current branch K·√(jω), Ω·s^½; null where absent.</summary>
    public double? SemiInductance { get; init; }

    /// <summary>Force factor T, N/A: force = T·i, back-EMF = T·v.</summary>
    public required double ForceFactor { get; init; }

    /// <summary>Moving mass, kg.</summary>
    public required double Mass { get; init; }

    /// <summary>Mechanical compliance, m/N.</summary>
    public required double Compliance { get; init; }

    /// <summary>Mechanical resistance, N·s/m.</summary>
    public required double Resistance { get; init; }

    /// <summary>Diaphragm area, m².</summary>
    public required double DiaphragmArea { get; init; }

    /// <summary>Air volume behind the diaphragm, m³.</summary>
    public required double RearVolume { get; init; }

    /// <summary>Air volume between diaphragm and spout, m³.</summary>
    public required double FrontVolume { get; init; }

    /// <summary>Spout length, m.</summary>
    public required double SpoutLength { get; init; }

    /// <summary>Spout bore (inner diameter), m.</summary>
    public required double SpoutBore { get; init; }

    /// <summary>Largest armature travel from rest, m, peak; null where not stated.</summary>
    public double? TravelLimit { get; init; }

    /// <summary>Largest coil current, A RMS; null where not stated.</summary>
    public double? CurrentLimit { get; init; }

    /// <summary>Z_e, Ω: the coil held still.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    public Complex CoilImpedance(double omega)
    {
        Complex? l = Inductance is { } inductance ? new Complex(0, omega * inductance) : null;
        Complex? k = SemiInductance is { } semi ? semi * Complex.Sqrt(new Complex(0, omega)) : null;
        return DcResistance + ((l, k) switch
        {
            ({ } a, { } b) => a * b / (a + b),
            _ => l ?? k ?? 0,
        });
    }

    /// <summary>Z_m, N·s/m: armature, diaphragm and the air behind it.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    /// <param name="air">The air in the rear volume.</param>
    public Complex MechanicalImpedance(double omega, Air air)
    {
        double stiffness = (1 / Compliance) + (DiaphragmArea * DiaphragmArea * air.BulkModulus / RearVolume);
        return new Complex(Resistance, (omega * Mass) - (stiffness / omega));
    }

    /// <summary>M_motor, from the coil's leads to the front of the diaphragm.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    /// <param name="air">The air in the rear volume.</param>
    public TwoPort Motor(double omega, Air air)
    {
        Complex ze = CoilImpedance(omega), zm = MechanicalImpedance(omega, air);
        double T = ForceFactor, S = DiaphragmArea;
        return new TwoPort(ze * (S / T), (ze * zm / (T * S)) + (T / S), S / T, zm / (T * S));
    }

    /// <summary>M, from the coil's leads to the mouth of the spout.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    /// <param name="air">The air in the receiver.</param>
    public TwoPort Matrix(double omega, Air air) => Motor(omega, air) * Front(omega, air, SoundTube.Matrix);

    /// <summary>Front volume and spout, from the diaphragm to the mouth of the spout.</summary>
    internal TwoPort Front(double omega, Air air, TubeMatrix tube) =>
        TwoPort.Shunt(new Complex(0, omega * FrontVolume / air.BulkModulus)) * tube(omega, SpoutLength, SpoutBore, air);
}
