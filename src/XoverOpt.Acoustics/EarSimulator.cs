using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>
/// The occluded-ear simulator of IEC 60318-4 as a lumped network, from its reference plane to the microphone:
/// <code>
/// ──L1─R1──┬────┬──L3─R3──┬────┬──L5─R5──┬──  microphone: pressure on C5, no flow
///          C1  L2         C3  L4         C5
///              R2             R4
///              C2             C4
/// </code>
/// L acoustic mass, kg/m⁴; R acoustic resistance, Pa·s/m³; C acoustic compliance, m³/Pa.
/// <para>
/// It stands for an ear from 100 Hz to 10 kHz; outside that band it is only a coupler. It is one average ear.
/// </para>
/// </summary>
/// <param name="Name">The name a job chooses it by.</param>
/// <param name="L1">First series mass.</param><param name="R1">Its loss.</param><param name="C1">First volume.</param>
/// <param name="L2">First side branch, mass.</param><param name="R2">Its resistance.</param><param name="C2">Its volume.</param>
/// <param name="L3">Second series mass.</param><param name="R3">Its loss.</param><param name="C3">Second volume.</param>
/// <param name="L4">Second side branch, mass.</param><param name="R4">Its resistance.</param><param name="C4">Its volume.</param>
/// <param name="L5">Third series mass.</param><param name="R5">Its loss.</param><param name="C5">Last volume, at the microphone.</param>
public sealed record EarSimulator(
    string Name,
    double L1, double R1, double C1,
    double L2, double R2, double C2,
    double L3, double R3, double C3,
    double L4, double R4, double C4,
    double L5, double R5, double C5)
{
    /// <summary>
    /// A refit of the lumped network with series losses, from a general-purpose simulation library's public source: 1260 mm³
    /// effective volume at 500 Hz and a half-wave resonance at 13.4 kHz. The default.
    /// </summary>
    public static readonly EarSimulator RefitDamped = new(
        "refit-damped",
        L1: 82.9, R1: 4.22e5, C1: 0.7e-12,
        L2: 9400, R2: 55.66e6, C2: 2.34e-12,
        L3: 130.3, R3: 4.22e5, C3: 1.5e-12,
        L4: 983.8, R4: 27.99e6, C4: 2.73e-12,
        L5: 133.4, R5: 3.22e6, C5: 1.517e-12);

    /// <summary>The same refit without the series losses; its resonance is unbounded in height but for the side branches.</summary>
    public static readonly EarSimulator RefitLossless = RefitDamped with { Name = "refit-lossless", R1 = 0, R3 = 0, R5 = 0 };

    /// <summary>The older, widely copied element set (from memory).</summary>
    public static readonly EarSimulator Classic = new(
        "classic",
        L1: 82.9, R1: 0, C1: 0.943e-12,
        L2: 9400, R2: 50.6e6, C2: 1.9e-12,
        L3: 130.3, R3: 0, C3: 1.479e-12,
        L4: 983.8, R4: 31.1e6, C4: 2.1e-12,
        L5: 133.4, R5: 0, C5: 1.517e-12);

    /// <summary>Every set a job can name, the default first.</summary>
    public static IReadOnlyList<EarSimulator> Sets { get; } = [RefitDamped, RefitLossless, Classic];

    /// <summary>
    /// Length of canal that L1 and C1 stand for, m: the shorter of L1·S/ρ and C1·ρc²/S, S the cross-section of the canal.
    /// </summary>
    /// <param name="bore">Bore of the canal, m.</param>
    /// <param name="air">The air in it.</param>
    public double EntranceLength(double bore, Air air)
    {
        double S = Math.PI * bore * bore / 4;
        return Math.Min(L1 * S / air.Density, C1 * air.BulkModulus / S);
    }

    /// <summary>The simulator with a tip that reaches past its reference plane: mass, loss and volume of that piece of canal taken out of L1, R1, C1.</summary>
    /// <param name="length">How far past, m; below <see cref="EntranceLength"/>.</param>
    /// <param name="bore">Bore of the canal, m.</param>
    /// <param name="air">The air in it.</param>
    public EarSimulator WithoutEntrance(double length, double bore, Air air)
    {
        double S = Math.PI * bore * bore / 4, mass = air.Density * length / S;
        return this with { L1 = L1 - mass, R1 = R1 * (1 - (mass / L1)), C1 = C1 - (S * length / air.BulkModulus) };
    }

    /// <summary>A simulator of another volume and the same lengths: masses and resistances divided by the ratio, compliances multiplied.</summary>
    /// <param name="ratio">New volume over old, > 0.</param>
    public EarSimulator OfSize(double ratio) => new(
        Name,
        L1 / ratio, R1 / ratio, C1 * ratio,
        L2 / ratio, R2 / ratio, C2 * ratio,
        L3 / ratio, R3 / ratio, C3 * ratio,
        L4 / ratio, R4 / ratio, C4 * ratio,
        L5 / ratio, R5 / ratio, C5 * ratio);

    /// <summary>
    /// The chain matrix from the reference plane to the microphone: p_in/U_in = A/C and p_microphone = p_in/A, since the microphone
    /// takes no flow.
    /// </summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    public TwoPort Matrix(double omega)
    {
        return Mass(L1, R1) * Volume(C1) * Branch(L2, R2, C2)
            * Mass(L3, R3) * Volume(C3) * Branch(L4, R4, C4)
            * Mass(L5, R5) * Volume(C5);

        TwoPort Mass(double l, double r) => TwoPort.Series(new Complex(r, omega * l));
        TwoPort Volume(double c) => TwoPort.Shunt(new Complex(0, omega * c));
        TwoPort Branch(double l, double r, double c) =>
            TwoPort.Shunt(Complex.Reciprocal(new Complex(r, (omega * l) - (1 / (omega * c)))));
    }
}
