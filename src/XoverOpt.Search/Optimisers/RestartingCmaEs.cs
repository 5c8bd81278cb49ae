namespace XoverOpt.Search;

/// <summary>
/// <see cref="CmaEs"/> started again with twice the population whenever it ends, from a point drawn evenly and half the interval as
/// standard deviation (A. Auger and N. Hansen, "A restart CMA evolution strategy with increasing population size", IEEE CEC 2005,
/// 1769–1776). The first descent alone takes start, deviation and population as set.
/// <para>
/// It ends with TargetReached, or with EvaluationsUsed when a generation of the descent, or the first of the next one, would exceed the
/// evaluations. Why each descent ended is kept with it.
/// </para>
/// </summary>
public sealed class RestartingCmaEs : IOptimiser
{
    private const double RestartSigma = 0.5;
    private readonly CmaEsSettings _settings;
    private readonly Random64 _random;
    private readonly List<EndedDescent> _ended;
    private CmaEs _current;

    /// <summary>Starts one.</summary>
    /// <exception cref="ArgumentException">Settings out of range.</exception>
    public RestartingCmaEs(CmaEsSettings settings)
    {
        _settings = settings;
        _random = new(settings.Seed);
        _ended = [];
        _current = new(settings with { Seed = _random.Next() });
        Stopped = _current.Stopped;
    }

    /// <summary>Goes on from a saved state.</summary>
    public RestartingCmaEs(RestartingCmaEsState state)
    {
        _settings = state.Settings;
        _random = new(state.Random);
        _ended = [.. state.Ended];
        _current = new(state.Current);
        Stopped = state.Stopped;
    }

    /// <summary>Descents that have ended, in order; after a stop the last one is among them.</summary>
    public IReadOnlyList<EndedDescent> Ended => _current.Stopped is { } reason ? [.. _ended, Of(_current, reason)] : [.. _ended];

    /// <inheritdoc/>
    public BestPoint? Best => _ended.Select(descent => descent.Best).Append(_current.Best).OfType<BestPoint>().MinBy(best => best.Cost);

    /// <inheritdoc/>
    public long Evaluations => Before + _current.Evaluations;

    /// <inheritdoc/>
    public OptimiserStop? Stopped { get; private set; }

    private long Before => _ended.Sum(descent => descent.Evaluations);

    /// <inheritdoc/>
    public double[][] Ask() => Stopped is null ? _current.Ask() : [];

    /// <inheritdoc/>
    public void Tell(ReadOnlySpan<double> costs)
    {
        _current.Tell(costs);
        if (Stopped is not null || _current.Stopped is not { } reason)
        {
            return;
        }

        if (reason is OptimiserStop.TargetReached or OptimiserStop.EvaluationsUsed)
        {
            Stopped = reason;
            return;
        }

        CmaEsSettings next = _settings with
        {
            Seed = _random.Next(),
            Start = null,
            Sigma = RestartSigma,
            Population = 2 * _current.Population,
            MaxEvaluations = _settings.MaxEvaluations - Evaluations,
        };
        if (next.Population > next.MaxEvaluations)
        {
            Stopped = OptimiserStop.EvaluationsUsed;
            return;
        }

        _ended.Add(Of(_current, reason));
        _current = new(next);
    }

    /// <inheritdoc cref="IOptimiser.Save"/>
    public RestartingCmaEsState Save() => new()
    {
        Settings = _settings,
        Random = _random.State,
        Ended = [.. _ended],
        Current = _current.Save(),
        Stopped = Stopped,
    };

    OptimiserState IOptimiser.Save() => Save();

    private static EndedDescent Of(CmaEs descent, OptimiserStop reason) => new(descent.Population, descent.Evaluations, descent.Best, reason);
}
