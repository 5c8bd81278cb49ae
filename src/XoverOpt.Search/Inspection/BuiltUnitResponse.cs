using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// The response of a built unit, on fixed frequencies. The equations are those of <see cref="PlainResponse"/>, with receivers that may
/// differ within a way and be dead:
/// <code>
/// a way gives the junction and the socket three numbers: s/B, A/B and D/B of its chain
/// receivers join as in TwoPort.Joined
/// a coil that carries no current leaves its sound path: a shunt C_i/D_i at the joint spouts; one that is shorted, A_i/B_i
/// a way that is silent as a whole gives 0, the admittance seen back into its tube, and that of its network, open or shorted at the end
/// </code>
/// A leak and a blockage are holes (<see cref="Leak.Hole"/>).
/// Tables per bore and results per way are kept, so that what a change leaves alone is not worked out again. Not safe for threads.
/// </summary>
public sealed class BuiltUnitResponse
{
    private const int MostKept = 2000;

    // Leads that touch, Ω (assumed): keeps the impedance of a way without series parts finite.
    private const double ShortOhm = 0.05;

    private readonly Problem _problem;
    private readonly double[] _omega;
    private readonly TwoPort[] _ear;
    private readonly Dictionary<double, (Complex Gamma, Complex Zc)[]> _lines = [];
    private readonly Dictionary<(double Length, double Bore), TwoPort[]> _spouts = [];
    private readonly Dictionary<Receiver, SpreadReceiver> _parts = new(ReferenceEqualityComparer.Instance);
    private readonly Dictionary<BuiltWay, WayTerms> _ways = new(ReferenceEqualityComparer.Instance);

    /// <summary>Prepares tables.</summary>
    /// <param name="problem">Gives ear, air and source.</param>
    /// <param name="hz">Frequencies, Hz.</param>
    public BuiltUnitResponse(Problem problem, IReadOnlyList<double> hz)
    {
        _problem = problem;
        _omega = [.. hz.Select(f => 2 * Math.PI * f)];
        _ear = [.. _omega.Select(problem.Ear.Matrix)];
    }

    /// <summary>Eardrum pressure, Pa RMS, and impedance at the socket, Ω.</summary>
    public (Complex[] Pressure, Complex[] Impedance) Of(BuiltUnit unit)
    {
        WayTerms[] terms = [.. unit.Ways.Select(Terms)];
        Complex[] pressure = new Complex[_omega.Length], impedance = new Complex[_omega.Length];
        for (int k = 0; k < _omega.Length; k++)
        {
            Complex drive = 0, acoustic = _ear[k].C / _ear[k].A, electric = 0;
            if (unit.LeakBore > 0)
            {
                acoustic += 1 / Leak.Hole(BuiltUnit.LeakLength, unit.LeakBore, _problem.Ear.Air).Impedance(_omega[k]);
            }

            foreach (WayTerms way in terms)
            {
                drive += way.Drive[k];
                acoustic += way.Acoustic[k];
                electric += way.Electric[k];
            }

            Complex admittance = electric + (drive * drive / acoustic);
            pressure[k] = _problem.Source.Voltage / (1 + (_problem.Source.Resistance * admittance)) * drive / acoustic / _ear[k].A;
            impedance[k] = admittance.Magnitude < 1e-9 ? 1e9 : 1 / admittance;
        }

        return (pressure, impedance);
    }

    private WayTerms Terms(BuiltWay way)
    {
        if (!_ways.TryGetValue(way, out WayTerms? terms))
        {
            if (_ways.Count >= MostKept)
            {
                _ways.Clear();
            }

            _ways.Add(way, terms = WorkOut(way));
        }

        return terms;
    }

    private WayTerms WorkOut(BuiltWay built)
    {
        Way way = built.Way;
        var terms = new WayTerms(new Complex[_omega.Length], new Complex[_omega.Length], new Complex[_omega.Length]);
        bool parallel = way.Wiring == Wiring.Parallel || built.Pieces.Count == 1;
        bool shorted = parallel ? built.Coils.Contains(CoilState.Shorted) : built.Coils.All(coil => coil == CoilState.Shorted);
        bool open = !shorted && (parallel ? built.Coils.All(coil => coil == CoilState.Open) : built.Coils.Contains(CoilState.Open));
        SpreadReceiver part = Part(way.Receiver);
        Receiver[] receivers = [.. built.Pieces.Select(piece => part.Of(piece.SensitivityDb, piece.Resonance, piece.Resistance))];
        TwoPort[] spout = Spout(way.Receiver);
        var lines = way.Tube.Select(piece => Line(piece.Bore)).ToArray();
        // Alike receivers are the usual case and are worked out once.
        int[] first = [.. built.Pieces.Select((piece, i) => built.Pieces.Take(i + 1).TakeWhile(other => other != piece).Count())];
        var chains = new TwoPort[receivers.Length];
        for (int k = 0; k < _omega.Length; k++)
        {
            double omega = _omega[k];
            for (int i = 0; i < chains.Length; i++)
            {
                chains[i] = first[i] < i ? chains[first[i]] : Chain(receivers[i], spout[k], omega);
            }

            TwoPort network = way.NetworkMatrix(omega), outlet = TwoPort.Series(way.DamperResistance);
            for (int t = 0; t < lines.Length; t++)
            {
                (Complex gamma, Complex zc) = lines[t][k];
                outlet *= Tube(gamma, zc, way.Tube[t].Length);
            }

            if (built.BlockedBore > 0)
            {
                outlet *= TwoPort.Series(Leak.Hole(BuiltWay.BlockedLength, built.BlockedBore, _problem.Ear.Air).Impedance(omega));
            }

            // What the dead ones among others leave at the joint spouts.
            Complex passive = 0;
            if (!shorted && !open)
            {
                for (int i = 0; i < chains.Length; i++)
                {
                    passive += built.Coils[i] switch
                    {
                        CoilState.Open => chains[i].C / chains[i].D,
                        CoilState.Shorted => chains[i].A / chains[i].B,
                        _ => 0,
                    };
                }
            }

            if (shorted || open)
            {
                Complex seen = 0;
                for (int i = 0; i < chains.Length; i++)
                {
                    // All coils sit on the shorted leads, but a broken one carries no current all the same.
                    bool carries = shorted && built.Coils[i] != CoilState.Open;
                    seen += carries ? chains[i].A / chains[i].B : chains[i].C / chains[i].D;
                }

                terms.Acoustic[k] = (outlet.C + (seen * outlet.A)) / (outlet.D + (seen * outlet.B));
                terms.Electric[k] = shorted ? ((network.C * ShortOhm) + network.D) / ((network.A * ShortOhm) + network.B) : network.C / network.A;
            }
            else
            {
                IEnumerable<TwoPort> working = chains.Where((_, i) => built.Coils[i] == CoilState.Working);
                TwoPort all = network * TwoPort.Joined(working, parallel ? Wiring.Parallel : Wiring.Series) * TwoPort.Shunt(passive) * outlet;
                terms.Drive[k] = way.Sign / all.B;
                terms.Acoustic[k] = all.A / all.B;
                terms.Electric[k] = all.D / all.B;
            }
        }

        return terms;
    }

    private TwoPort Chain(Receiver receiver, TwoPort spout, double omega) =>
        receiver.Motor(omega, _problem.Ear.Air) * TwoPort.Shunt(new Complex(0, omega * receiver.FrontVolume / _problem.Ear.Air.BulkModulus)) * spout;

    private static TwoPort Tube(Complex gamma, Complex zc, double length)
    {
        Complex grown = Complex.Exp(gamma * length), dying = 1 / grown;
        Complex cosh = (grown + dying) / 2, sinh = (grown - dying) / 2;
        return new(cosh, zc * sinh, sinh / zc, cosh);
    }

    private SpreadReceiver Part(Receiver receiver)
    {
        if (!_parts.TryGetValue(receiver, out SpreadReceiver? part))
        {
            _parts.Add(receiver, part = new(receiver, _problem.Ear.Air));
        }

        return part;
    }

    private (Complex Gamma, Complex Zc)[] Line(double bore)
    {
        if (!_lines.TryGetValue(bore, out var line))
        {
            _lines.Add(bore, line = [.. _omega.Select(omega => SoundTube.Line(omega, bore, _problem.Ear.Air))]);
        }

        return line;
    }

    private TwoPort[] Spout(Receiver receiver)
    {
        (double, double) key = (receiver.SpoutLength, receiver.SpoutBore);
        if (!_spouts.TryGetValue(key, out TwoPort[]? spout))
        {
            _spouts.Add(key, spout = [.. _omega.Select(omega => SoundTube.Matrix(omega, receiver.SpoutLength, receiver.SpoutBore, _problem.Ear.Air))]);
        }

        return spout;
    }

    /// <summary>s/B, A/B and D/B of a way, one entry a frequency.</summary>
    private sealed record WayTerms(Complex[] Drive, Complex[] Acoustic, Complex[] Electric);
}
