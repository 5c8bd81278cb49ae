namespace XoverOpt.Acoustics;

/// <summary>
/// One way of an earpiece, from the socket to the junction at the tip: network, <paramref name="Count"/> alike receivers with
/// their spouts joined, damper at the spout's mouth, then the sound tube.
/// </summary>
/// <param name="Name">The way's name, such as "low".</param>
/// <param name="Receiver">The receiver.</param>
/// <param name="Count">How many alike, ≥ 1.</param>
/// <param name="Wiring">How they are wired.</param>
/// <param name="Polarity">Which way round the leads are.</param>
/// <param name="Network">Ladder sections from the socket towards the receiver.</param>
/// <param name="DamperResistance">Damper, Pa·s/m³ (1 cgs acoustic ohm = 1e5); 0 for none.</param>
/// <param name="Tube">Tube pieces from the damper to the junction.</param>
public sealed record Way(
    string Name,
    Receiver Receiver,
    int Count,
    Wiring Wiring,
    Polarity Polarity,
    IReadOnlyList<NetworkSection> Network,
    double DamperResistance,
    IReadOnlyList<TubeSegment> Tube)
{
    /// <summary>+1 for leads as marked, −1 for leads turned over.</summary>
    public int Sign => Polarity == Polarity.Normal ? 1 : -1;

    /// <summary>The chain matrix from the socket to the junction, leads as marked; its determinant is −1.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    /// <param name="air">The air in receivers and tubes.</param>
    public TwoPort Matrix(double omega, Air air) => Matrix(omega, air, SoundTube.Matrix);

    internal TwoPort Matrix(double omega, Air air, TubeMatrix tube) =>
        NetworkMatrix(omega) * Motors(omega, air) * Outlet(omega, air, tube);

    /// <summary>The ladder network, from the socket to the receivers' leads.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    public TwoPort NetworkMatrix(double omega)
    {
        TwoPort chain = TwoPort.Identity;
        foreach (NetworkSection section in Network)
        {
            chain *= section.Matrix(omega);
        }

        return chain;
    }

    /// <summary>All motors together, from their leads to the pressure on, and the summed flow of, all diaphragms.</summary>
    internal TwoPort Motors(double omega, Air air) => Receiver.Motor(omega, air).Alike(Count, Wiring);

    /// <summary>All front volumes and spouts together, damper and tube: from the diaphragms to the junction.</summary>
    internal TwoPort Outlet(double omega, Air air, TubeMatrix tube)
    {
        TwoPort chain = Receiver.Front(omega, air, tube).Alike(Count, Wiring.Parallel) * TwoPort.Series(DamperResistance);
        foreach (TubeSegment piece in Tube)
        {
            chain *= tube(omega, piece.Length, piece.Bore, air);
        }

        return chain;
    }
}
