using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>
/// What the tip speaks into: an optional leak to the room at the junction, a residual canal, and the occluded-ear simulator.
/// The job's tip stands at the simulator's reference plane, or a residual canal before it.
/// </summary>
/// <param name="Simulator">Element values of the lumped IEC 60318-4 simulator.</param>
/// <param name="ResidualLength">Residual canal length between tip and simulator, m; 0 for none.</param>
/// <param name="ResidualBore">Residual canal bore, m.</param>
/// <param name="Leak">Leak to the room at the junction; null for a perfect seal.</param>
/// <param name="Air">The air in tubes and volumes.</param>
public sealed record Ear(EarSimulator Simulator, double ResidualLength, double ResidualBore, Leak? Leak, Air Air)
{
    /// <summary>Air beside the tip, m³, such as a pocket where the canal stands off it: a compliance across the junction.</summary>
    public double AddedVolume { get; init; }

    /// <summary>The farthest the tip can be pushed in, m: the residual canal and nine tenths of the simulator's entrance.</summary>
    public double Room => ResidualLength + (0.9 * Simulator.EntranceLength(ResidualBore, Air));

    /// <summary>
    /// The same ear with the tip pushed in. What the tip fills is taken from the residual canal first and then from the simulator's
    /// entrance, the piece of canal between its reference plane and its first side branch.
    /// </summary>
    /// <param name="depth">How much deeper, m; negative for less deep, which adds residual canal.</param>
    /// <exception cref="ArgumentOutOfRangeException">Deeper than <see cref="Room"/>.</exception>
    public Ear Deeper(double depth)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(depth, Room);
        return depth <= ResidualLength
            ? this with { ResidualLength = ResidualLength - depth }
            : this with { ResidualLength = 0, Simulator = Simulator.WithoutEntrance(depth - ResidualLength, ResidualBore, Air) };
    }

    /// <summary>The same ear with another width of the canal from the tip to the first side branch: the part that a jaw moves.</summary>
    /// <param name="ratio">New bore over old, > 0.</param>
    public Ear WithCanalBore(double ratio) => this with
    {
        ResidualBore = ResidualBore * ratio,
        Simulator = Simulator with { L1 = Simulator.L1 / (ratio * ratio), R1 = Simulator.R1 / Math.Pow(ratio, 4), C1 = Simulator.C1 * ratio * ratio },
    };

    /// <summary>
    /// An ear of another volume and the same lengths, canal and drum alike: every acoustical impedance divided by the ratio, so that
    /// resonances stay and level into it falls by 20 log₁₀ of the ratio where the source is stiff.
    /// </summary>
    /// <param name="ratio">New volume over old, > 0.</param>
    public Ear OfSize(double ratio) => this with { ResidualBore = ResidualBore * Math.Sqrt(ratio), Simulator = Simulator.OfSize(ratio) };

    /// <summary>
    /// The chain from the junction to the microphone: leak and added volume (shunt), residual canal, simulator. With the microphone taking no flow,
    /// the load on the earpiece is Y_L = C/A and the eardrum pressure is p/A, p being the pressure at the junction.
    /// </summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    public TwoPort Matrix(double omega) => Matrix(omega, SoundTube.Matrix);

    internal TwoPort Matrix(double omega, TubeMatrix tube)
    {
        TwoPort sealedEar = ResidualLength == 0
            ? Simulator.Matrix(omega)
            : tube(omega, ResidualLength, ResidualBore, Air) * Simulator.Matrix(omega);
        Complex beside = new(0, omega * AddedVolume / Air.BulkModulus);
        if (Leak is not null)
        {
            beside += Complex.Reciprocal(Leak.Impedance(omega));
        }

        return beside == 0 ? sealedEar : TwoPort.Shunt(beside) * sealedEar;
    }
}
