using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>One built unit: an earpiece whose parts have the values of single pieces.</summary>
/// <param name="Ways">Its ways.</param>
public sealed record SpreadUnit(IReadOnlyList<SpreadWay> Ways)
{
    /// <summary>A build as drawn, every part at its stated value.</summary>
    public static SpreadUnit Of(Earpiece earpiece) =>
        new([.. earpiece.Ways.Select(way => new SpreadWay(way, [.. Enumerable.Repeat(way.Receiver, way.Count)]))]);

    /// <summary>Pressure at the eardrum, impedance and shares at stated frequencies, one at a time as the equations of <see cref="PlainResponse"/> read.</summary>
    /// <param name="ear">What it speaks into.</param>
    /// <param name="source">What drives it.</param>
    /// <param name="hz">Frequencies, Hz.</param>
    public EarpieceResponse Response(Ear ear, Source source, IReadOnlyList<double> hz)
    {
        int n = hz.Count;
        Complex[] pressure = new Complex[n], impedance = new Complex[n];
        WayShare[] shares = [.. Ways.Select(way => new WayShare(way.Way.Name, new Complex[n]))];
        for (int k = 0; k < n; k++)
        {
            double omega = 2 * Math.PI * hz[k];
            TwoPort load = ear.Matrix(omega);
            TwoPort[] chains = [.. Ways.Select(way => way.Matrix(omega, ear.Air))];
            Complex drive = 0, acoustic = load.C / load.A, electric = 0;
            for (int i = 0; i < chains.Length; i++)
            {
                drive += Ways[i].Way.Sign / chains[i].B;
                acoustic += chains[i].A / chains[i].B;
                electric += chains[i].D / chains[i].B;
            }

            Complex admittance = electric + (drive * drive / acoustic);
            Complex perJunction = source.Voltage / (1 + (source.Resistance * admittance)) / acoustic / load.A;
            pressure[k] = drive * perJunction;
            impedance[k] = Complex.Reciprocal(admittance);
            for (int i = 0; i < chains.Length; i++)
            {
                shares[i].Pressure[k] = Ways[i].Way.Sign / chains[i].B * perJunction;
            }
        }

        return new([.. hz], pressure, impedance, shares);
    }
}

/// <summary>One way of a built unit.</summary>
/// <param name="Way">Network, damper and tube with the values of their pieces; its receiver and count are those of the build.</param>
/// <param name="Receivers">Its receivers, each a piece of its own, spouts joined.</param>
public sealed record SpreadWay(Way Way, IReadOnlyList<Receiver> Receivers)
{
    /// <summary>The chain matrix from the socket to the junction, leads as marked.</summary>
    /// <param name="omega">ω, rad/s, not 0.</param>
    /// <param name="air">The air in receivers and tubes.</param>
    public TwoPort Matrix(double omega, Air air)
    {
        TwoPort chain = Way.NetworkMatrix(omega)
            * TwoPort.Joined(Receivers.Select(receiver => receiver.Matrix(omega, air)), Way.Wiring)
            * TwoPort.Series(Way.DamperResistance);
        foreach (TubeSegment piece in Way.Tube)
        {
            chain *= SoundTube.Matrix(omega, piece.Length, piece.Bore, air);
        }

        return chain;
    }
}
