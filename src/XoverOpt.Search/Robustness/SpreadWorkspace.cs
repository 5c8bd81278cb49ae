using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>Room for one thread to evaluate built units of one build. Nothing is allocated a unit.</summary>
internal sealed class SpreadWorkspace
{
    private readonly Earpiece _earpiece;
    private readonly PartSpread _spread;
    private readonly VariedReceivers[] _receivers;
    private readonly (double Db, double Resonance, double Resistance)[][] _drawn;

    /// <param name="tables">The problem without its peak levels, which the kernel's tables know for alike receivers only.</param>
    /// <param name="earpiece">The build.</param>
    /// <param name="spread">How its parts vary.</param>
    public SpreadWorkspace(ProblemTables tables, Earpiece earpiece, PartSpread spread)
    {
        _earpiece = earpiece;
        _spread = spread;
        Costs = new(tables);
        _receivers = [.. earpiece.Ways.Select(way => new VariedReceivers(way.Receiver, way.Wiring, tables.Grid, tables.Problem.Ear.Air))];
        Ways =
        [
            .. earpiece.Ways.Select((way, i) => new KernelWay(
                _receivers[i].Table, 1, Wiring.Parallel, way.Polarity, way.Network, [.. way.Tube.Select(piece => tables.Bore(piece.Bore))]) { Damper = way.DamperResistance }),
        ];
        Pieces = [.. earpiece.Ways.Select(way => new ReceiverPiece[way.Count])];
        _drawn = [.. earpiece.Ways.Select(way => new (double, double, double)[way.Count])];
        Deviations = new double[spread.Parts.Count];
    }

    /// <summary>Room for one unit's deviations.</summary>
    public double[] Deviations { get; }

    /// <summary>Where the cost's figures over frequency stand.</summary>
    public CostWorkspace Costs { get; }

    /// <summary>The ways of the last unit; each holds its joined receivers as one.</summary>
    public KernelWay[] Ways { get; }

    /// <summary>The receivers of the last unit, a row a way.</summary>
    public ReceiverPiece[][] Pieces { get; }

    /// <summary>Figures and cost, without peak levels, of the unit that has these deviations.</summary>
    public CostFigures Evaluate(ReadOnlySpan<double> deviations)
    {
        Set(deviations);
        return CostFunction.Evaluate(Ways, Costs, null, [], []);
    }

    /// <summary>Gives the ways the values of a unit.</summary>
    public void Set(ReadOnlySpan<double> deviations)
    {
        for (int i = 0; i < Ways.Length; i++)
        {
            Array.Fill(_drawn[i], (0, 1, 1));
            for (int j = 0; j < Ways[i].Lengths.Length; j++)
            {
                Ways[i].Lengths[j] = _earpiece.Ways[i].Tube[j].Length;
            }
        }

        for (int q = 0; q < deviations.Length; q++)
        {
            SpreadPart part = _spread.Parts[q];
            Way way = _earpiece.Ways[part.Way];
            KernelWay varied = Ways[part.Way];
            double deviation = deviations[q];
            int at = part.Index;
            switch (part.Kind)
            {
                case SpreadKind.Sensitivity:
                    _drawn[part.Way][at].Db = deviation;
                    break;
                case SpreadKind.Resonance:
                    _drawn[part.Way][at].Resonance = part.Varied(1, deviation);
                    break;
                case SpreadKind.DcResistance:
                    _drawn[part.Way][at].Resistance = part.Varied(1, deviation);
                    break;
                case SpreadKind.Resistor:
                    varied.Resistances[at] = part.Varied(way.Network[at].Resistance!.Value, deviation);
                    break;
                case SpreadKind.Capacitor:
                    varied.Capacitances[at] = part.Varied(way.Network[at].Capacitance!.Value, deviation);
                    break;
                case SpreadKind.Coil:
                    varied.Inductances[at] = part.Varied(way.Network[at].Inductance!.Value, deviation);
                    break;
                case SpreadKind.Damper:
                    varied.Damper = part.Varied(way.DamperResistance, deviation);
                    break;
                default:
                    varied.Lengths[at] = part.Varied(way.Tube[at].Length, deviation);
                    break;
            }
        }

        for (int i = 0; i < Ways.Length; i++)
        {
            for (int r = 0; r < Pieces[i].Length; r++)
            {
                (double db, double resonance, double resistance) = _drawn[i][r];
                Pieces[i][r] = _spread.Receivers[i].Piece(db, resonance, resistance);
            }

            _receivers[i].Fill(Pieces[i]);
        }
    }
}
