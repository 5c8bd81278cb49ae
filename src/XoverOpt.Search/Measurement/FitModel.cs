using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// Measured against modelled curves of one receiver: residuals in units of their noise, and their derivatives by the free parameters (logarithmic,
/// each in [0, 1] between its bounds).
/// <code>
/// (A, B; C, D) = M_motor · M_front · M_load,  no flow at the microphone
/// Z = A/C,  or B/D where the end is open      p = V_s/(A + R_s C)
/// residuals: ln|Z|, arg Z, ln|p|, arg p; measured less modelled; a level without a reference loses its mean, a phase with an unknown delay its slope
/// </code>
/// Motor and front are differentiated by central differences, which is enough for a descent and a covariance; the chains are products, so only
/// the factor that moves is worked out again.
/// </summary>
internal sealed class FitModel
{
    private const double Step = 1e-5;
    private const int MostPoints = 160;
    private readonly int[] _free;
    private readonly Receiver _base;
    private readonly Air _air;
    private readonly double[] _omega;
    private readonly IReadOnlyList<Taken> _taken;
    private readonly (TwoPort Chain, TwoPort[] Slopes)[] _receiver;

    public FitModel(ReceiverFitProblem problem)
    {
        _free = problem.Free;
        _air = problem.Air;
        _base = Usual(problem);
        Taken[] taken = [.. problem.Measurements.Select((measurement, k) => new Taken(measurement, k, problem))];
        _omega = [.. taken.SelectMany(one => one.Omega).Distinct().Order()];
        foreach (Taken one in taken)
        {
            one.Place(_omega);
        }

        _taken = taken;
        _receiver = [.. _omega.Select(_ => (default(TwoPort), new TwoPort[_free.Length]))];
    }

    /// <summary>How many residuals.</summary>
    public int Count => _taken.Sum(one => one.Blocks.Sum(block => block.Measured.Length - (block.Free ? 1 : 0)));

    /// <summary>The blocks of residuals as the last evaluation left them.</summary>
    public IEnumerable<Block> Blocks => _taken.SelectMany(one => one.Blocks);

    /// <summary>The receiver at a point.</summary>
    public Receiver At(ReadOnlySpan<double> point)
    {
        Receiver receiver = _base;
        for (int i = 0; i < _free.Length; i++)
        {
            ReceiverParameter parameter = ReceiverParameter.All[_free[i]];
            receiver = parameter.With(receiver, parameter.At(point[i]));
        }

        return receiver;
    }

    /// <summary>The point of a receiver.</summary>
    public double[] PointOf(Receiver receiver) =>
        [.. _free.Select(p => ReceiverParameter.All[p].PlaceOf(ReceiverParameter.All[p].Of(receiver) ?? ReceiverParameter.All[p].Highest))];

    /// <summary>χ²: the sum of squares of all residuals in units of their noise, and its equations.</summary>
    public double Evaluate(ReadOnlySpan<double> point, NormalEquations equations)
    {
        Receivers(point);
        equations.Reset(_free.Length);
        double sum = 0;
        double[] row = new double[_free.Length];
        foreach (Taken one in _taken)
        {
            one.Compare(_receiver);
            foreach (Block block in one.Blocks)
            {
                for (int k = 0; k < block.Residual.Length; k++)
                {
                    for (int i = 0; i < row.Length; i++)
                    {
                        row[i] = block.Slopes[i][k];
                    }

                    equations.Add(block.Residual[k], row);
                    sum += block.Residual[k] * block.Residual[k];
                }
            }
        }

        return sum;
    }

    /// <summary>A receiver with every known and assumed value, and usual ones elsewhere.</summary>
    private static Receiver Usual(ReceiverFitProblem problem)
    {
        Receiver receiver = new()
        {
            PartNumber = problem.PartNumber,
            DcResistance = 1,
            ForceFactor = 1,
            Mass = 1,
            Compliance = 1,
            Resistance = 1,
            DiaphragmArea = 1,
            RearVolume = 1,
            FrontVolume = 1,
            SpoutLength = 1,
            SpoutBore = 1,
        };
        for (int p = 0; p < ReceiverParameter.All.Count; p++)
        {
            ReceiverParameter parameter = ReceiverParameter.All[p];
            double value = problem.Known.TryGetValue(p, out double known) ? known : problem.Assumed.TryGetValue(p, out double assumed) ? assumed : parameter.Usual;
            receiver = parameter.With(receiver, value);
        }

        return receiver;
    }

    private void Receivers(ReadOnlySpan<double> point)
    {
        Receiver here = At(point);
        var beside = new (Receiver Up, Receiver Down)[_free.Length];
        double[] moved = point.ToArray();
        for (int i = 0; i < _free.Length; i++)
        {
            moved[i] = point[i] + Step;
            Receiver up = At(moved);
            moved[i] = point[i] - Step;
            beside[i] = (up, At(moved));
            moved[i] = point[i];
        }

        for (int k = 0; k < _omega.Length; k++)
        {
            double omega = _omega[k];
            TwoPort motor = here.Motor(omega, _air), front = Front(here, omega);
            TwoPort[] slopes = _receiver[k].Slopes;
            for (int i = 0; i < _free.Length; i++)
            {
                (Receiver up, Receiver down) = beside[i];
                slopes[i] = _free[i] >= ReceiverParameter.FrontVolume
                    ? motor * Slope(Front(up, omega), Front(down, omega))
                    : Slope(up.Motor(omega, _air), down.Motor(omega, _air)) * front;
            }

            _receiver[k] = (motor * front, slopes);
        }
    }

    private TwoPort Front(Receiver receiver, double omega) =>
        TwoPort.Shunt(new Complex(0, omega * receiver.FrontVolume / _air.BulkModulus)) * SoundTube.Matrix(omega, receiver.SpoutLength, receiver.SpoutBore, _air);

    private static TwoPort Slope(TwoPort up, TwoPort down) =>
        new((up.A - down.A) / (2 * Step), (up.B - down.B) / (2 * Step), (up.C - down.C) / (2 * Step), (up.D - down.D) / (2 * Step));

    /// <summary>What kind of residuals a block holds.</summary>
    internal enum BlockKind
    {
        ImpedanceMagnitude,
        ImpedancePhase,
        Level,
        Phase,
    }

    /// <summary>Residuals of one kind of one measurement.</summary>
    internal sealed record Block(BlockKind Kind, int Measurement, double[] Hz, double[] Measured, double Sigma, bool Free, int Parameters)
    {
        /// <summary>(modelled − measured)/σ.</summary>
        public double[] Residual { get; } = new double[Measured.Length];

        /// <summary>∂residual/∂parameter, a row a parameter.</summary>
        public double[][] Slopes { get; } = [.. Enumerable.Range(0, Parameters).Select(_ => new double[Measured.Length])];

        /// <summary>Takes a nuisance out of residuals and slopes: the mean of a level, the delay of a phase.</summary>
        public void TakeOut()
        {
            if (!Free)
            {
                return;
            }

            double[] shape = [.. Hz.Select(f => Kind == BlockKind.Phase ? f : 1)];
            double size = shape.Sum(s => s * s);
            foreach (double[] row in Slopes.Append(Residual))
            {
                double share = 0;
                for (int k = 0; k < row.Length; k++)
                {
                    share += row[k] * shape[k] / size;
                }

                for (int k = 0; k < row.Length; k++)
                {
                    row[k] -= share * shape[k];
                }
            }
        }
    }

    /// <summary>One measurement as it is fitted.</summary>
    private sealed class Taken
    {
        private readonly ReceiverMeasurement _measurement;
        private readonly TwoPort[] _load;
        private int[] _at = [];

        public Taken(ReceiverMeasurement measurement, int number, ReceiverFitProblem problem)
        {
            _measurement = measurement;
            MeasuredCurve curve = measurement.Curve;
            int[] points = Points(curve.Hz, problem.BandHz);
            double[] hz = [.. points.Select(k => curve.Hz[k])];
            Omega = [.. hz.Select(f => 2 * Math.PI * f)];
            _load = [.. Omega.Select(omega => measurement.Load.Matrix(omega, problem.Air))];
            double sigmaPhase = problem.Noise.PhaseDeg * Math.PI / 180;
            List<Block> blocks = [];
            Add(BlockKind.ImpedanceMagnitude, curve.ImpedanceOhm, value => Math.Log(value), problem.Noise.ImpedancePercent / 100, false);
            Add(BlockKind.ImpedancePhase, curve.ImpedancePhaseDeg, value => value * Math.PI / 180, sigmaPhase, false);
            bool microphone = measurement.Load.End != LoadEnd.Open;
            Add(BlockKind.Level, microphone ? curve.LevelDb : null, db => (db / Acoustics.Figures.MagnitudeError.DbPerNeper) + Math.Log(MeasuredCurve.ReferencePressure), problem.Noise.LevelDb / Acoustics.Figures.MagnitudeError.DbPerNeper, !curve.IsSpl);
            Add(BlockKind.Phase, microphone ? curve.PhaseDeg : null, value => value * Math.PI / 180, sigmaPhase, measurement.DelayUnknown);
            Blocks = blocks;

            void Add(BlockKind kind, double[]? values, Func<double, double> scale, double sigma, bool free)
            {
                if (values is not null)
                {
                    blocks.Add(new(kind, number, hz, [.. points.Select(k => scale(values[k]))], sigma, free, problem.Free.Length));
                }
            }
        }

        public double[] Omega { get; }

        public IReadOnlyList<Block> Blocks { get; }

        public void Place(double[] omega) => _at = [.. Omega.Select(one => Array.BinarySearch(omega, one))];

        public void Compare((TwoPort Chain, TwoPort[] Slopes)[] receiver)
        {
            double source = _measurement.SourceResistance;
            bool open = _measurement.Load.End == LoadEnd.Open;
            for (int k = 0; k < _load.Length; k++)
            {
                (TwoPort before, TwoPort[] slopes) = receiver[_at[k]];
                TwoPort chain = before * _load[k];
                (Complex up, Complex down) = open ? (chain.B, chain.D) : (chain.A, chain.C);
                Complex loaded = chain.A + (source * chain.C);
                Complex lnZ = Complex.Log(up / down), lnP = Complex.Log(_measurement.DriveVoltage / loaded);
                foreach (Block block in Blocks)
                {
                    block.Residual[k] = ((block.Kind switch
                    {
                        BlockKind.ImpedanceMagnitude => lnZ.Real,
                        BlockKind.ImpedancePhase => lnZ.Imaginary,
                        BlockKind.Level => lnP.Real,
                        _ => lnP.Imaginary,
                    }) - block.Measured[k]) / block.Sigma;
                }

                for (int i = 0; i < slopes.Length; i++)
                {
                    TwoPort slope = slopes[i] * _load[k];
                    Complex z = open ? (slope.B / up) - (slope.D / down) : (slope.A / up) - (slope.C / down);
                    Complex p = -(slope.A + (source * slope.C)) / loaded;
                    foreach (Block block in Blocks)
                    {
                        block.Slopes[i][k] = (block.Kind switch
                        {
                            BlockKind.ImpedanceMagnitude => z.Real,
                            BlockKind.ImpedancePhase => z.Imaginary,
                            BlockKind.Level => p.Real,
                            _ => p.Imaginary,
                        }) / block.Sigma;
                    }
                }
            }

            foreach (Block block in Blocks)
            {
                Turns(block);
                block.TakeOut();
            }
        }

        /// <summary>Whole turns do not count; with an unknown delay they are followed along the curve.</summary>
        private static void Turns(Block block)
        {
            if (block.Kind is not (BlockKind.Phase or BlockKind.ImpedancePhase))
            {
                return;
            }

            double turn = 2 * Math.PI / block.Sigma, last = 0;
            for (int k = 0; k < block.Residual.Length; k++)
            {
                block.Residual[k] -= turn * Math.Round((block.Residual[k] - (block.Free ? last : 0)) / turn);
                last = block.Residual[k];
            }
        }

        /// <summary>The points that are fitted: all in the band, or as many as count, even on log frequency.</summary>
        private static int[] Points(double[] hz, (double Low, double High) band)
        {
            int[] inside = [.. Enumerable.Range(0, hz.Length).Where(k => hz[k] >= band.Low && hz[k] <= band.High)];
            if (inside.Length <= MostPoints)
            {
                return inside;
            }

            double low = Math.Log(hz[inside[0]]), high = Math.Log(hz[inside[^1]]);
            return [.. inside.GroupBy(k => (int)Math.Min((Math.Log(hz[k]) - low) / (high - low) * MostPoints, MostPoints - 1)).Select(bin => bin.ElementAt(bin.Count() / 2))];
        }
    }
}
