namespace XoverOpt.Search;

/// <summary>
/// The (μ/μ_w, λ) evolution strategy with covariance matrix adaptation: rank-one and rank-μ updates with negative weights for the worse
/// half, and step-size control by the cumulated path [1]. Values are sampled without bounds and folded into [0, 1] by reflection for
/// evaluation, while the strategy learns from the unfolded ones ("reflection", Darwinian, in [2]); no standard deviation grows past 1.
/// <para>
/// It ends (reasons as in [1], B.3, unless said otherwise) with: TargetReached and EvaluationsUsed as set; Condition, condition of C above
/// 1e14 or C no longer positive; NoEffect, a tenth of a standard deviation along an axis, or a fifth in a value, does not change the mean;
/// StepTolerance, all deviations and σ·p_c below the tolerance; Flat, the best costs of the last 10 + ⌈30 n/λ⌉ generations are equal;
/// CostTolerance, these and the costs of the last generation differ by no more than the tolerance; Stagnation, over the last fifth of all
/// generations (120 + ⌈30 n/λ⌉ at least, 20 000 at most; looked at every tenth) neither best nor median costs fell.
/// </para>
/// <para>
/// [1] N. Hansen, "The CMA Evolution Strategy: A Tutorial", arXiv:1604.00772. [2] R. Biedrzycki, "Handling bound constraints in CMA-ES: An
/// experimental study", Swarm and Evolutionary Computation 52 (2020) 100627.
/// </para>
/// </summary>
public sealed class CmaEs : IOptimiser
{
    private readonly CmaEsSettings _settings;
    private readonly CmaEsDistribution _distribution;
    private readonly CmaEsHistory _history;
    private readonly Random64 _random;
    private double[][] _asked = [];
    private ulong[] _askedFrom = [];

    /// <summary>Starts one.</summary>
    /// <exception cref="ArgumentException">Settings out of range.</exception>
    public CmaEs(CmaEsSettings settings)
        : this(FirstState(settings.Checked())) => Stopped = Population > settings.MaxEvaluations ? OptimiserStop.EvaluationsUsed : null;

    /// <summary>Goes on from a saved state.</summary>
    public CmaEs(CmaEsState state)
    {
        _settings = state.Settings.Checked();
        Population = _settings.Lambda;
        _distribution = new(state);
        _history = new(_settings.Dimensions, Population, state.BestCosts, state.MedianCosts);
        _random = new(state.Random);
        (Evaluations, Best, Stopped) = (state.Evaluations, state.Best, state.Stopped);
    }

    /// <summary>Points a generation.</summary>
    public int Population { get; }

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
            _asked = [.. Enumerable.Range(0, Population).Select(k => _distribution.Sample(_random, k))];
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
        for (int k = 0; k < Population; k++)
        {
            clean[k] = double.IsNaN(clean[k]) ? double.PositiveInfinity : clean[k];
            Best = BestPoint.Better(Best, _asked[k], clean[k]);
        }

        int[] order = [.. Enumerable.Range(0, Population).OrderBy(k => clean[k])];
        Evaluations += Population;
        _asked = [];
        bool sound = _distribution.Update(order);
        double[] sorted = [.. order.Select(k => clean[k])];
        _history.Add(sorted, _distribution.Generation);
        Stopped = Best!.Cost <= _settings.Target ? OptimiserStop.TargetReached
            : !sound ? OptimiserStop.Condition
            : _distribution.Stop(_settings.StepTolerance * _settings.Sigma)
            ?? _history.Stop(sorted, _settings.CostTolerance, _distribution.Generation)
            ?? (Evaluations > _settings.MaxEvaluations - Population ? OptimiserStop.EvaluationsUsed : null);
    }

    /// <inheritdoc cref="IOptimiser.Save"/>
    public CmaEsState Save() => new()
    {
        Settings = _settings,
        Random = _asked.Length > 0 ? [.. _askedFrom] : _random.State,
        Generation = _distribution.Generation,
        Evaluations = Evaluations,
        Mean = [.. _distribution.Mean],
        Sigma = _distribution.Sigma,
        StepPath = [.. _distribution.StepPath],
        CovariancePath = [.. _distribution.CovariancePath],
        Covariance = [.. _distribution.Covariance],
        Axes = [.. _distribution.Axes],
        Lengths = [.. _distribution.Lengths],
        Decomposed = _distribution.Decomposed,
        BestCosts = _history.BestCosts,
        MedianCosts = _history.MedianCosts,
        Best = Best,
        Stopped = Stopped,
    };

    OptimiserState IOptimiser.Save() => Save();

    private static CmaEsState FirstState(CmaEsSettings settings)
    {
        int n = settings.Dimensions;
        var random = new Random64(settings.Seed);
        double[] identity = new double[n * n], ones = new double[n];
        for (int i = 0; i < n; i++)
        {
            identity[(i * n) + i] = ones[i] = 1;
        }

        return new()
        {
            Settings = settings,
            Mean = settings.Start ?? [.. ones.Select(_ => random.NextDouble())],
            Random = random.State,
            Generation = 0,
            Evaluations = 0,
            Sigma = settings.Sigma,
            StepPath = new double[n],
            CovariancePath = new double[n],
            Covariance = identity,
            Axes = identity,
            Lengths = ones,
            Decomposed = 0,
            BestCosts = [],
            MedianCosts = [],
            Best = null,
            Stopped = null,
        };
    }
}
