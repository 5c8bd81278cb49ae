using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// The Monte-Carlo study of one build: units in blocks, then frequencies, each on any thread and in any order; every block and frequency
/// writes to places of its own, so that the result has the same bits whoever did what. Run all blocks, then all columns, then take the
/// result.
/// <para>
/// Units are judged on the grid the ranking uses, so that a unit of exact parts has the figures of the build. Figures by frequency stand at
/// twelve points an octave in the target band.
/// </para>
/// </summary>
public sealed class SpreadStudy
{
    /// <summary>Units of a block, an even number.</summary>
    public const int BlockUnits = 100;

    /// <summary>Fewest units that say anything.</summary>
    public const int FewestSamples = 200;

    /// <summary>Most units, for the memory they take.</summary>
    public const int MostSamples = 100_000;

    private const int PointsPerOctave = 24;
    private const double HighShare = 0.95;

    // Common practice, no source: where a voice is placed between the ears.
    private static readonly (double Low, double High) _voiceHz = (200, 4000);
    private static readonly double _referenceDb = 20 * Math.Log10(20e-6);

    private readonly Problem _problem;
    private readonly Earpiece _earpiece;
    private readonly SpreadSettings _settings;
    private readonly PartSpread _spread;
    private readonly ProblemTables _tables;
    private readonly YieldLimits _limits;
    private readonly System.Collections.Concurrent.ConcurrentBag<SpreadWorkspace> _idle = [];
    private readonly VarianceShares _shares;
    private readonly int[] _grid;
    private readonly double[] _weights;
    private readonly int _count;
    private readonly CostFigures _nominal;
    private readonly double _nominalPenalty;
    private readonly double[] _nominalDb;
    private readonly double[] _nominalOhm;
    private readonly SpreadPoint[] _points;

    // A row a frequency of one number a unit (a pair for the phase), so that a frequency is read in one piece.
    private readonly double[] _level;
    private readonly double[] _shape;
    private readonly double[] _ohm;
    private readonly double[] _phase;
    private readonly double[] _deviations;
    private readonly double[] _mean;
    private readonly double[] _levelBand;
    private readonly double[] _cost;
    private readonly double[] _rms;
    private readonly double[] _max;
    private readonly double[] _spl;
    private readonly long[] _broken;
    private readonly double[] _voiceDb;
    private readonly double[] _voiceDeg;
    private readonly double[] _sideDb;

    /// <summary>Prepares a study.</summary>
    /// <param name="problem">The job.</param>
    /// <param name="earpiece">The build.</param>
    /// <param name="settings">What to assume and how many units to draw.</param>
    /// <exception cref="ArgumentException">The number of samples is odd or out of range.</exception>
    public SpreadStudy(Problem problem, Earpiece earpiece, SpreadSettings settings)
        : this(problem, earpiece, settings, Tables(problem))
    {
    }

    /// <summary>Prepares a study with tables that several share; see <see cref="Tables"/>.</summary>
    public SpreadStudy(Problem problem, Earpiece earpiece, SpreadSettings settings, ProblemTables tables)
    {
        if (settings.Samples is < FewestSamples or > MostSamples || settings.Samples % 2 != 0)
        {
            throw new ArgumentException($"An even number of samples from {FewestSamples} to {MostSamples}.", nameof(settings));
        }

        (_problem, _earpiece, _settings, _tables, _count) = (problem, earpiece, settings, tables, settings.Samples);
        _spread = new PartSpread(earpiece, problem, settings);
        _limits = new YieldLimits(problem, earpiece);
        MagnitudeError band = tables.Magnitude;
        _grid = [.. Enumerable.Range(band.From, band.To - band.From).Where(k => k % (PointsPerOctave / 12) == 0)];
        double sum = _grid.Sum(k => band.Weights[k]);
        _weights = [.. _grid.Select(k => band.Weights[k] / sum)];
        _shares = new(_spread.Parts.Count, _grid.Length, _count);
        _points = new SpreadPoint[_grid.Length];
        _level = new double[_grid.Length * _count];
        _shape = new double[_level.Length];
        _ohm = new double[_level.Length];
        _phase = new double[_level.Length / 2];
        _deviations = new double[_spread.Parts.Count * _count];
        _mean = new double[_count];
        int[] level = LevelPoints(tables.Grid.Hz, problem.Target);
        _levelBand = [.. _grid.Select((_, i) => level.Contains(i) ? 1.0 / level.Length : 0)];
        _cost = new double[_count];
        _rms = new double[_count];
        _max = new double[_count];
        _spl = new double[_count];
        _broken = new long[_count];
        _voiceDb = new double[_count / 2];
        _voiceDeg = new double[_count / 2];
        _sideDb = new double[_count / 2];

        var workspace = new SpreadWorkspace(tables, earpiece, _spread);
        _nominal = workspace.Evaluate(new double[_spread.Parts.Count]);
        (_, _nominalPenalty) = _limits.Judge(_nominal, workspace);
        _nominalDb = [.. _grid.Select(k => Level(workspace, k))];
        _nominalOhm = [.. _grid.Select(k => Ohm(workspace.Costs.Kernel, k))];
        _idle.Add(workspace);
    }

    /// <summary>The tables a study needs, for several builds of one job.</summary>
    public static ProblemTables Tables(Problem problem) => new(problem with { Limits = problem.Limits with { MinPeakSpl = [] } }, PointsPerOctave);

    /// <summary>How many blocks of units there are.</summary>
    public int Blocks => (_count + BlockUnits - 1) / BlockUnits;

    /// <summary>How many frequencies there are.</summary>
    public int Columns => _grid.Length;

    /// <summary>Draws and judges one block of units.</summary>
    public void RunBlock(int block)
    {
        if (!_idle.TryTake(out SpreadWorkspace? workspace))
        {
            workspace = new(_tables, _earpiece, _spread);
        }

        double[] re = new double[_grid.Length], im = new double[_grid.Length];
        for (int unit = block * BlockUnits; unit < Math.Min((block + 1) * BlockUnits, _count); unit++)
        {
            _spread.Draw(_settings.Seed, unit, workspace.Deviations);
            CostFigures figures = workspace.Evaluate(workspace.Deviations);
            (_broken[unit], double penalty) = _limits.Judge(figures, workspace);
            for (int q = 0; q < _spread.Parts.Count; q++)
            {
                _deviations[(q * _count) + unit] = workspace.Deviations[q];
            }

            (_cost[unit], _rms[unit], _max[unit], _spl[unit]) = (figures.Cost.Total + penalty, figures.MagnitudeRmsDb, figures.MagnitudeMaxDb, figures.SplAt100mV);
            KernelWorkspace kernel = workspace.Costs.Kernel;
            bool right = unit % 2 == 1;
            double voiceDb = 0, voiceDeg = 0, sideDb = 0, mean = 0;
            for (int i = 0; i < _grid.Length; i++)
            {
                int k = _grid[i], at = (i * _count) + unit;
                _level[at] = Level(workspace, k);
                _shape[at] = workspace.Costs.Error[k];
                _ohm[at] = Ohm(kernel, k);
                mean += _levelBand[i] * _level[at];
                (double x, double y) = (kernel.PressureRe[k], kernel.PressureIm[k]);
                if (right)
                {
                    double deg = Math.Abs(Math.Atan2((y * re[i]) - (x * im[i]), (x * re[i]) + (y * im[i]))) * 180 / Math.PI;
                    double db = Math.Abs(_level[at] - _level[at - 1]);
                    _phase[(i * (_count / 2)) + (unit / 2)] = deg;
                    sideDb = Math.Max(sideDb, db);
                    if (_tables.Grid.Hz[k] >= _voiceHz.Low && _tables.Grid.Hz[k] <= _voiceHz.High)
                    {
                        (voiceDb, voiceDeg) = (Math.Max(voiceDb, db), Math.Max(voiceDeg, deg));
                    }
                }

                (re[i], im[i]) = (x, y);
            }

            _mean[unit] = mean;
            if (right)
            {
                (_sideDb[unit / 2], _voiceDb[unit / 2], _voiceDeg[unit / 2]) = (sideDb, voiceDb, voiceDeg);
            }
        }

        _idle.Add(workspace);
    }

    /// <summary>Sums up one frequency over all units; when every block has run.</summary>
    public void RunColumn(int column)
    {
        ReadOnlySpan<double> level = _level.AsSpan(column * _count, _count);
        _shares.Take(column, _weights[column], _shape.AsSpan(column * _count, _count), _deviations);
        double[] sides = new double[_count / 2];
        for (int pair = 0; pair < sides.Length; pair++)
        {
            sides[pair] = Math.Abs(level[2 * pair] - level[(2 * pair) + 1]);
        }

        double[] levels = Sorted(level), ohms = Sorted(_ohm.AsSpan(column * _count, _count)), phases = Sorted(_phase.AsSpan(column * (_count / 2), _count / 2));
        Array.Sort(sides);
        double low = (1 - _settings.Coverage) / 2;
        _points[column] = new(
            _tables.Grid.Hz[_grid[column]],
            _nominalDb[column],
            SpreadEstimate.Quantile(levels, low),
            SpreadEstimate.Quantile(levels, 0.5),
            SpreadEstimate.Quantile(levels, 1 - low),
            SpreadEstimate.Deviation(level),
            _nominalOhm[column],
            SpreadEstimate.Quantile(ohms, low),
            SpreadEstimate.Quantile(ohms, 1 - low),
            SpreadEstimate.Quantile(sides, 0.5),
            SpreadEstimate.Quantile(sides, HighShare),
            SpreadEstimate.Quantile(phases, 0.5),
            SpreadEstimate.Quantile(phases, HighShare));
    }

    /// <summary>The result; when every block and then every column has run.</summary>
    public SpreadResult Result()
    {
        (SpreadEstimate[] shares, SpreadEstimate sum, double variance) = _shares.Of();
        double limit = _settings.SideLimitDb;
        int pairs = _count / 2;
        return new()
        {
            Key = BuildKey.Of(_earpiece),
            Settings = _settings,
            Parts = _spread.Parts,
            Assumed = _spread.Assumed,
            Yield = SpreadEstimate.Share(_broken.Count(bits => bits == 0), _count),
            Limits = [.. _limits.Names.Select((name, i) => (name, SpreadEstimate.Share(_broken.Count(bits => (bits >> i & 1) == 0), _count)))],
            SideYield = SpreadEstimate.Share(_sideDb.Count(db => db <= limit), pairs),
            SideVoiceYield = SpreadEstimate.Share(_voiceDb.Count(db => db <= limit), pairs),
            SideBalanceYield = SpreadEstimate.Share(Enumerable.Range(0, pairs).Count(pair => Math.Abs(_mean[2 * pair] - _mean[(2 * pair) + 1]) <= limit), pairs),
            SideVoiceDb = MedianAndHigh(_voiceDb),
            SideVoiceDeg = MedianAndHigh(_voiceDeg),
            NominalCost = _nominal.Cost.Total + _nominalPenalty,
            Cost = SpreadEstimate.Mean(_cost),
            MagnitudeRmsDb = SpreadEstimate.Mean(_rms),
            MagnitudeMaxDb = MedianAndHigh(_max),
            SplAt100mV = SpreadEstimate.Mean(_spl),
            SplDeviationDb = SpreadEstimate.Deviation(_spl),
            Points = _points,
            ShapeDeviationDb = Math.Sqrt(variance),
            Shares = [.. _spread.Parts.Select((part, q) => new VarianceShare(part.Role, shares[q])).OrderByDescending(share => share.Share.Value).ThenBy(share => share.Role, StringComparer.Ordinal)],
            ShareSum = sum,
            Keeps = [.. _broken.Select(bits => bits == 0)],
            BeyondDb = Beyond(_level, (value, point) => Math.Max(point.LowDb.Value - value, value - point.HighDb.Value)),
            BeyondPercent = Beyond(_ohm, (value, point) => 100 * Math.Max(1 - (value / point.LowOhm.Value), (value / point.HighOhm.Value) - 1)),
        };
    }

    /// <summary>The most that each unit lies beyond low and high at any frequency.</summary>
    private double[] Beyond(double[] values, Func<double, SpreadPoint, double> by)
    {
        double[] most = new double[_count];
        Array.Fill(most, double.NegativeInfinity);
        for (int i = 0; i < _grid.Length; i++)
        {
            for (int unit = 0; unit < _count; unit++)
            {
                most[unit] = Math.Max(most[unit], by(values[(i * _count) + unit], _points[i]));
            }
        }

        return most;
    }

    /// <summary>Which frequencies lie in the level band; the nearest where it falls between two or beyond the target band.</summary>
    private int[] LevelPoints(double[] hz, Target target)
    {
        int[] inside = [.. Enumerable.Range(0, _grid.Length).Where(i => hz[_grid[i]] >= target.LevelLowHz && hz[_grid[i]] <= target.LevelHighHz)];
        double middle = Math.Sqrt(target.LevelLowHz * target.LevelHighHz);
        return inside.Length > 0 ? inside : [Enumerable.Range(0, _grid.Length).MinBy(i => Math.Abs(Math.Log(hz[_grid[i]] / middle)))];
    }

    private static (SpreadEstimate Median, SpreadEstimate High) MedianAndHigh(double[] values)
    {
        double[] sorted = Sorted(values);
        return (SpreadEstimate.Quantile(sorted, 0.5), SpreadEstimate.Quantile(sorted, HighShare));
    }

    private static double[] Sorted(ReadOnlySpan<double> values)
    {
        double[] sorted = [.. values];
        Array.Sort(sorted);
        return sorted;
    }

    private static double Level(SpreadWorkspace workspace, int k) => (MagnitudeError.DbPerNeper * workspace.Costs.WholeLog[k]) - _referenceDb;

    private static double Ohm(KernelWorkspace kernel, int k) =>
        1 / Math.Sqrt((kernel.AdmittanceRe[k] * kernel.AdmittanceRe[k]) + (kernel.AdmittanceIm[k] * kernel.AdmittanceIm[k]));
}
