using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>What ends a measuring load.</summary>
public enum LoadEnd
{
    /// <summary>A rigid wall with the microphone in it.</summary>
    Blocked,

    /// <summary>Free air, taken as no pressure at all: no radiation, no microphone.</summary>
    Open,

    /// <summary>A plain volume with the microphone in it.</summary>
    Cavity,

    /// <summary>The occluded-ear simulator; the microphone is its own.</summary>
    EarSimulator,
}

/// <summary>What a receiver spoke into while it was measured: a damper at the spout's mouth, tube pieces, then an end.</summary>
public sealed record AcousticLoad
{
    /// <summary>What ends it.</summary>
    public required LoadEnd End { get; init; }

    /// <summary>Damper, Pa·s/m³; 0 for none.</summary>
    public double DamperResistance { get; init; }

    /// <summary>Tube pieces from the damper on.</summary>
    public IReadOnlyList<TubeSegment> Tube { get; init; } = [];

    /// <summary>Volume of a cavity, m³.</summary>
    public double CavityVolume { get; init; }

    /// <summary>The ear simulator.</summary>
    public EarSimulator Simulator { get; init; } = EarSimulator.RefitDamped;

    /// <summary>The chain from the spout's mouth to the microphone, which takes no flow; to the open end for <see cref="LoadEnd.Open"/>.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    /// <param name="air">The air in it.</param>
    public TwoPort Matrix(double omega, Air air)
    {
        TwoPort chain = TwoPort.Series(DamperResistance);
        foreach (TubeSegment piece in Tube)
        {
            chain *= SoundTube.Matrix(omega, piece.Length, piece.Bore, air);
        }

        return End switch
        {
            LoadEnd.Cavity => chain * TwoPort.Shunt(new Complex(0, omega * CavityVolume / air.BulkModulus)),
            LoadEnd.EarSimulator => chain * Simulator.Matrix(omega),
            _ => chain,
        };
    }

    /// <summary>The impedance it puts on the spout's mouth, Pa·s/m³; infinite for a wall right at the mouth.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    /// <param name="air">The air in it.</param>
    public Complex Impedance(double omega, Air air)
    {
        TwoPort chain = Matrix(omega, air);
        return End == LoadEnd.Open ? chain.B / chain.D : chain.C == 0 ? new Complex(double.PositiveInfinity, 0) : chain.A / chain.C;
    }
}
