namespace XoverOpt.Search;

/// <summary>
/// Differential evolution that draws scale factors and crossover rates around those that succeeded lately (SHADE) [1]: mutation
/// current-to-pbest/1 with an archive of replaced members, binomial crossover, a value outside [0, 1] set half-way between its parent and
/// the bound. Optionally the population falls linearly with the evaluations used [2]; of the other changes in [2] only the sizes are taken
/// (<see cref="SuccessHistoryDeSettings.Reducing"/>).
/// <para>
/// It ends with TargetReached and EvaluationsUsed as set; CostTolerance when the costs, StepTolerance when the values of all members
/// differ by no more than the tolerance.
/// </para>
/// <para>
/// [1] R. Tanabe and A. Fukunaga, "Success-history based parameter adaptation for differential evolution", IEEE CEC 2013, 71–78.
/// [2] R. Tanabe and A. Fukunaga, "Improving the search performance of SHADE using linear population size reduction", IEEE CEC 2014,
/// 1658–1665.
/// </para>
/// </summary>
public sealed class SuccessHistoryDe : IOptimiser
{
    private const double Spread = 0.1;
    private readonly SuccessHistoryDeSettings _settings;
    private readonly Random64 _random;
    private readonly List<double[]> _archive;
    private readonly double[] _memoryScale;
    private readonly double[] _memoryCrossover;
    private double[][] _members;
    private double[] _costs;
    private double[][] _asked = [];
    private ulong[] _askedFrom = [];
    private double[] _scale = [];
    private double[] _crossover = [];
    private int _entry;

    /// <summary>Starts one.</summary>
    /// <exception cref="ArgumentException">Settings out of range.</exception>
    public SuccessHistoryDe(SuccessHistoryDeSettings settings)
        : this(new SuccessHistoryDeState
        {
            Settings = settings.Checked(),
            Random = new Random64(settings.Seed).State,
            Evaluations = 0,
            Members = [],
            Costs = [],
            Archive = [],
            MemoryScale = [.. Enumerable.Repeat(0.5, settings.Memory)],
            MemoryCrossover = [.. Enumerable.Repeat(0.5, settings.Memory)],
            Entry = 0,
            Best = null,
            Stopped = settings.Population > settings.MaxEvaluations ? OptimiserStop.EvaluationsUsed : null,
        })
    {
    }

    /// <summary>Goes on from a saved state.</summary>
    public SuccessHistoryDe(SuccessHistoryDeState state)
    {
        _settings = state.Settings.Checked();
        _random = new(state.Random);
        _archive = [.. state.Archive];
        (_memoryScale, _memoryCrossover, _entry) = ([.. state.MemoryScale], [.. state.MemoryCrossover], state.Entry);
        (_members, _costs) = ([.. state.Members], [.. state.Costs]);
        (Evaluations, Best, Stopped) = (state.Evaluations, state.Best, state.Stopped);
    }

    /// <inheritdoc/>
    public BestPoint? Best { get; private set; }

    /// <inheritdoc/>
    public long Evaluations { get; private set; }

    /// <inheritdoc/>
    public OptimiserStop? Stopped { get; private set; }

    /// <inheritdoc/>
    public double[][] Ask()
    {
        if (Stopped is null && _asked.Length == 0)
        {
            _askedFrom = _random.State;
            _asked = _members.Length == 0 ? First() : Trials();
        }

        return _asked;
    }

    /// <inheritdoc/>
    public void Tell(ReadOnlySpan<double> costs)
    {
        if (costs.Length != _asked.Length)
        {
            throw new ArgumentException($"{costs.Length} costs for {_asked.Length} points.", nameof(costs));
        }

        if (costs.IsEmpty)
        {
            return;
        }

        double[] clean = [.. costs];
        for (int i = 0; i < clean.Length; i++)
        {
            clean[i] = double.IsNaN(clean[i]) ? double.PositiveInfinity : clean[i];
            Best = BestPoint.Better(Best, _asked[i], clean[i]);
        }

        Evaluations += clean.Length;
        if (_members.Length == 0)
        {
            (_members, _costs) = (_asked, clean);
        }
        else
        {
            Select(clean);
        }

        _asked = [];
        Reduce();
        Stopped = Best!.Cost <= _settings.Target ? OptimiserStop.TargetReached
            : _costs.Max() - _costs.Min() <= _settings.CostTolerance ? OptimiserStop.CostTolerance
            : Enumerable.Range(0, _settings.Dimensions).All(j => _members.Max(x => x[j]) - _members.Min(x => x[j]) <= _settings.StepTolerance)
                ? OptimiserStop.StepTolerance
            : Evaluations > _settings.MaxEvaluations - _members.Length ? OptimiserStop.EvaluationsUsed : null;
    }

    /// <inheritdoc cref="IOptimiser.Save"/>
    public SuccessHistoryDeState Save() => new()
    {
        Settings = _settings,
        Random = _asked.Length > 0 ? [.. _askedFrom] : _random.State,
        Evaluations = Evaluations,
        Members = [.. _members],
        Costs = [.. _costs],
        Archive = [.. _archive],
        MemoryScale = [.. _memoryScale],
        MemoryCrossover = [.. _memoryCrossover],
        Entry = _entry,
        Best = Best,
        Stopped = Stopped,
    };

    OptimiserState IOptimiser.Save() => Save();

    private double[][] First()
    {
        double[][] points = [.. Enumerable.Range(0, _settings.Population)
            .Select(_ => Enumerable.Range(0, _settings.Dimensions).Select(_ => _random.NextDouble()).ToArray())];
        points[0] = _settings.Start is { } start ? [.. start] : points[0];
        return points;
    }

    private double[][] Trials()
    {
        int count = _members.Length;
        int[] order = [.. Enumerable.Range(0, count).OrderBy(i => _costs[i])];
        (_scale, _crossover) = (new double[count], new double[count]);
        double[][] trials = new double[count][];
        for (int i = 0; i < count; i++)
        {
            int entry = _random.Below(_memoryScale.Length);
            _crossover[i] = Math.Clamp(_memoryCrossover[entry] + (Spread * _random.NextNormal()), 0, 1);
            do
            {
                // A Cauchy deviate is the ratio of two normal ones.
                _scale[i] = Math.Min(1, _memoryScale[entry] + (Spread * _random.NextNormal() / _random.NextNormal()));
            }
            while (!(_scale[i] > 0));

            double lowest = Math.Min(2.0 / count, 0.2);
            double share = _settings.BestShare ?? lowest + ((0.2 - lowest) * _random.NextDouble());
            double[] best = _members[order[_random.Below(Math.Clamp((int)Math.Round(share * count), 2, count))]];
            trials[i] = Trial(i, best);
        }

        return trials;
    }

    /// <summary>current-to-pbest/1 and binomial crossover.</summary>
    private double[] Trial(int i, double[] best)
    {
        int first, second;
        do
        {
            first = _random.Below(_members.Length);
        }
        while (first == i);

        do
        {
            second = _random.Below(_members.Length + _archive.Count);
        }
        while (second == i || second == first);

        double[] parent = _members[i], plus = _members[first], trial = [.. parent];
        double[] minus = second < _members.Length ? _members[second] : _archive[second - _members.Length];
        int always = _random.Below(trial.Length);
        for (int j = 0; j < trial.Length; j++)
        {
            if (_random.NextDouble() < _crossover[i] || j == always)
            {
                double value = parent[j] + (_scale[i] * (best[j] - parent[j])) + (_scale[i] * (plus[j] - minus[j]));
                trial[j] = value < 0 ? parent[j] / 2 : value > 1 ? (1 + parent[j]) / 2 : value;
            }
        }

        return trial;
    }

    private void Select(double[] costs)
    {
        var won = new List<(double Gain, double Scale, double Crossover)>();
        for (int i = 0; i < _members.Length; i++)
        {
            if (costs[i] < _costs[i])
            {
                won.Add((_costs[i] - costs[i], _scale[i], _crossover[i]));
                _archive.Add(_members[i]);
            }

            if (costs[i] <= _costs[i])
            {
                (_members[i], _costs[i]) = (_asked[i], costs[i]);
            }
        }

        if (won.Count > 0)
        {
            // Out of an infinite cost any gain is infinite: it weighs as much as the largest that is not.
            double largest = won.Select(w => w.Gain).Where(double.IsFinite).DefaultIfEmpty(1).Max();
            double[] gains = [.. won.Select(w => Math.Min(w.Gain, largest) / largest)];
            double scale = 0, square = 0, crossover = 0, total = 0;
            foreach (((_, double f, double cr), double gain) in won.Zip(gains))
            {
                scale += gain * f;
                square += gain * f * f;
                crossover += gain * cr;
                total += gain;
            }

            _memoryScale[_entry] = square / scale;
            _memoryCrossover[_entry] = crossover / total;
            _entry = (_entry + 1) % _memoryScale.Length;
        }
    }

    /// <summary>Fewer members as the evaluations go, the worst ones dropped; the archive cut to its size at random.</summary>
    private void Reduce()
    {
        if (_settings.FinalPopulation is { } final)
        {
            double used = (double)Evaluations / _settings.MaxEvaluations;
            int keep = Math.Clamp((int)Math.Round(_settings.Population + ((final - _settings.Population) * used)), final, _members.Length);
            int[] kept = [.. Enumerable.Range(0, _members.Length).OrderBy(i => _costs[i]).Take(keep).Order()];
            (_members, _costs) = ([.. kept.Select(i => _members[i])], [.. kept.Select(i => _costs[i])]);
        }

        while (_archive.Count > (int)(_settings.Archive * _members.Length))
        {
            _archive.RemoveAt(_random.Below(_archive.Count));
        }
    }
}
