namespace XoverOpt.Search;

/// <summary>
/// The search as a state machine: ask for an ordered batch, evaluate it anywhere, tell the results in order. The result depends on the
/// problem and the seed, never on threads, time or interruptions.
/// <para>
/// Layouts are first tried from all over (all of them, where they are few), then the best are changed bit by bit and crossed, each new
/// layout optimised from its parent's values; the best are optimised on a finer grid and made buildable. Of layouts that share
/// receivers and counts only a few are carried, so that the list holds different earpieces.
/// </para>
/// </summary>
public sealed class LayoutSearch
{
    private const int TypicalStart = 20;
    private const int TypicalSnap = 2200;
    private const int EliteSize = 160;
    private const int FamilyCap = 5;
    private const int CompleteWalk = 20_000;
    private const int PatienceBatches = 60;
    private readonly int _batchSize;
    private readonly int _beamWidth;
    private readonly TrialRunner _runner;
    private readonly LayoutSpace _space;
    private readonly Random64 _random;
    private readonly Elite _elite;
    private readonly HashSet<string> _tried = [];
    private readonly List<Found> _queue = [];
    private readonly List<Found> _snapped = [];
    private SearchStage _stage = SearchStage.Explore;
    private StopReason? _reason;
    private List<Trial> _asked = [];
    private long _evaluations;
    private long _cursor;
    private int _stale;

    /// <summary>Starts a search.</summary>
    public LayoutSearch(Problem problem)
    {
        Problem = problem;
        _space = new LayoutSpace(problem);
        _runner = new TrialRunner(problem, _space);
        _elite = new Elite(_space, EliteSize, FamilyCap);
        _random = new Random64(problem.Effort.Seed);
        // A walk through all layouts only where less than half of the budget pays for it; else they are drawn.
        _cursor = _space.Total <= CompleteWalk && _space.Total * 2 * TypicalStart <= problem.Effort.Evaluations / 2.0 ? 0 : -1;
        // Small budgets go in small batches and a narrow beam, so that they are kept to within a batch or so.
        _batchSize = (int)Math.Clamp(problem.Effort.Evaluations / (20 * 2 * TypicalStart), 4, 192);
        _beamWidth = problem.Effort.Evaluations < 40 * TypicalSnap ? 2 : 6;
        if (_space.Allowed == 0)
        {
            _stage = SearchStage.Done;
        }
    }

    /// <summary>Goes on from a saved state.</summary>
    public LayoutSearch(Problem problem, SearchState state)
        : this(problem)
    {
        _random = new Random64(state.Random);
        _stage = state.Stage;
        _evaluations = state.Evaluations;
        _cursor = state.Cursor;
        _stale = state.Stale;
        _reason = state.Reason;
        _tried = [.. state.Tried.Select(options => new Layout(options).Key)];
        _queue = [.. state.Queue];
        _snapped = [.. state.Snapped];
        foreach (Found found in state.Elite)
        {
            _elite.Offer(found);
        }
    }

    /// <summary>The problem.</summary>
    public Problem Problem { get; }

    /// <summary>Nothing is left to ask.</summary>
    public bool Done => _stage == SearchStage.Done;

    /// <summary>How far it has come.</summary>
    public SearchProgress Progress
    {
        get
        {
            Found? best = _snapped.Count > 0 ? _snapped.MinBy(found => found.Cost) : _elite.Best;
            string phase = _stage switch
            {
                SearchStage.Explore => "exploring layouts",
                SearchStage.Improve => "improving layouts",
                SearchStage.Refine => "refining the best",
                SearchStage.Snap => "fitting stock values",
                _ => "done",
            };
            return new(
                phase, _evaluations, Problem.Effort.Evaluations, _tried.Count, _space.Allowed, best?.Cost, best?.MagnitudeRmsDb, best?.PhaseMaxDeg);
        }
    }

    /// <summary>The next batch (a few tenths of a second of work at most); empty when done.</summary>
    public IReadOnlyList<Trial> Ask()
    {
        _asked = _stage switch
        {
            SearchStage.Explore => Explore(),
            SearchStage.Improve => Improve(),
            SearchStage.Refine => [.. _queue.Take(16).Select(found => Refinement(found))],
            SearchStage.Snap => [.. _queue.Take(8).Select(found => new Trial(new(found.Options), [found.Unit], 12, 12, _reason is null ? _beamWidth : 1))],
            _ => [],
        };
        if (_asked.Count == 0)
        {
            // No allowed layout turned up in thousands of draws: what there is, if anything, is all there will be.
            _stage = SearchStage.Done;
        }

        return _asked;
    }

    /// <summary>Evaluates one trial. Pure: the result depends on the trial only, never on thread or time.</summary>
    public TrialResult Evaluate(Trial trial) => _runner.Run(trial);

    /// <summary>Takes the results of the batch asked last, in its order.</summary>
    /// <exception cref="ArgumentException">Not as many results as trials asked.</exception>
    public void Tell(IReadOnlyList<TrialResult> results)
    {
        if (results.Count != _asked.Count)
        {
            throw new ArgumentException("One result a trial, in order.", nameof(results));
        }

        bool changed = false;
        for (int i = 0; i < results.Count; i++)
        {
            TrialResult result = results[i];
            Layout layout = _asked[i].Layout;
            _evaluations += result.Evaluations;
            var found = new Found(layout.Options, result.Unit, result.Cost, result.MagnitudeRmsDb, result.PhaseMaxDeg, result.Choices);
            switch (_stage)
            {
                case SearchStage.Snap:
                    _snapped.Add(found with { RelaxedCost = _queue[i].Cost });
                    break;
                case SearchStage.Refine:
                    _elite.Offer(found, replace: true);
                    break;
                default:
                    _tried.Add(layout.Key);
                    changed |= _elite.Offer(found);
                    break;
            }
        }

        if (_stage is SearchStage.Refine or SearchStage.Snap)
        {
            _queue.RemoveRange(0, results.Count);
        }

        _stale = changed ? 0 : _stale + 1;
        Advance();
    }

    /// <summary>Ends the search early: what follows is only a short finish (a second or so) that makes the best so far buildable.</summary>
    public void Stop(StopReason reason)
    {
        if (_reason is not null || _stage == SearchStage.Done)
        {
            return;
        }

        _reason = reason;
        if (_stage is SearchStage.Snap)
        {
            _queue.Clear();
        }

        // What is already snapped stays; if nothing is, a few of the best are, quickly.
        if (_snapped.Count > 0 || _elite.Best is null)
        {
            _stage = SearchStage.Done;
            return;
        }

        _queue.Clear();
        _queue.AddRange(_elite.Ranked.Take(Math.Min(4, Problem.Effort.Keep)));
        _stage = SearchStage.Snap;
    }

    /// <summary>The state between batches.</summary>
    public SearchState Save() => new()
    {
        Stage = _stage,
        Random = _random.State,
        Evaluations = _evaluations,
        Cursor = _cursor,
        Stale = _stale,
        Tried = [.. _tried.Order(StringComparer.Ordinal).Select(Layout.OptionsOf)],
        Elite = [.. _elite.Ranked],
        Queue = [.. _queue],
        Snapped = [.. _snapped],
        Reason = _reason,
    };

    /// <summary>Ranked builds found so far.</summary>
    public SearchResult Result()
    {
        var evaluation = new BuildEvaluation(Problem, _runner.Tables(24));
        IEnumerable<RankedBuild> judged = _snapped.Select(found =>
        {
            var candidate = new Candidate(_runner.Tables(24), _space, new(found.Options));
            for (int q = 0; q < candidate.Ranges.Length; q++)
            {
                candidate.Hold(q, found.Choices![q]);
            }

            return evaluation.Judge(candidate.ToEarpiece(), found.RelaxedCost);
        });
        // Looking for layouts ends at seven tenths of the budget; what follows is planned to fit the rest.
        StopReason reason = _reason ?? (_evaluations >= Problem.Effort.Evaluations * 7 / 10 ? StopReason.EvaluationsUsed : StopReason.Finished);
        return new(
            BuildRanking.Rank(judged, Problem.Effort.Keep), reason, _evaluations, _tried.Count, _space.Allowed, _space.Exclusions, Problem.Effort.Seed);
    }

    private void Advance()
    {
        long budget = Problem.Effort.Evaluations;
        if (_stage == SearchStage.Explore && (_cursor >= 0 ? _cursor >= _space.Total || _evaluations >= budget * 7 / 10 : _evaluations >= budget / 4))
        {
            (_stage, _stale) = (SearchStage.Improve, 0);
        }

        if (_stage == SearchStage.Improve && (_evaluations >= budget * 7 / 10 || _stale >= PatienceBatches))
        {
            _stage = SearchStage.Refine;
            _elite.Trim((int)Math.Clamp(budget / 10 / (8 * TypicalStart), 2, 96));
            _queue.AddRange(_elite.Ranked);
        }

        if (_stage == SearchStage.Refine && _queue.Count == 0)
        {
            _stage = SearchStage.Snap;
            int affordable = (int)Math.Clamp(budget / 5 / (_beamWidth == 2 ? TypicalSnap / 3 : TypicalSnap), Math.Clamp(budget / 1000, 1, Problem.Effort.Keep), 2 * Problem.Effort.Keep);
            _queue.AddRange(_elite.Ranked.Take(affordable));
        }

        if (_stage == SearchStage.Snap && _queue.Count == 0)
        {
            _stage = SearchStage.Done;
        }
    }

    private List<Trial> Explore()
    {
        var batch = new List<Trial>(_batchSize);
        if (_cursor >= 0)
        {
            for (; batch.Count < _batchSize && _cursor < _space.Total; _cursor++)
            {
                Layout layout = _space.At(_cursor);
                if (_space.Allows(layout))
                {
                    batch.Add(new(layout, [Start(layout), Start(layout)], 6, 25, 0));
                }
            }
        }

        while (_cursor < 0 && batch.Count < _batchSize && _space.Draw(_random) is { } drawn)
        {
            batch.Add(new(drawn, [Start(drawn), Start(drawn)], 6, 18, 0));
        }

        return batch;
    }

    private List<Trial> Improve()
    {
        var batch = new List<Trial>(_batchSize);
        var inBatch = new HashSet<string>();
        while (batch.Count < _batchSize)
        {
            Found parent = _elite.Pick(_random);
            Layout? child = _random.NextDouble() < 0.15 ? null : Variation.Of(_space, parent, _elite, _random, layout => !_tried.Contains(layout.Key) && inBatch.Add(layout.Key));
            batch.Add(child is null
                ? new(new(parent.Options), [Start(new(parent.Options))], 6, 40, 0)
                : new(child, [Variation.Carry(_space, Problem, parent, child), Start(child)], 6, 30, 0));
        }

        return batch;
    }

    private Trial Refinement(Found found)
    {
        double[] Shaken() => [.. found.Unit.Select(u => Math.Clamp(u + (0.3 * (_random.NextDouble() - 0.5)), 0, 1))];
        return new(new(found.Options), [found.Unit, Shaken(), Shaken(), Start(new(found.Options))], 12, 80, 0);
    }

    /// <summary>A random start. Tubes start at one length, since arrival asks for about that.</summary>
    private double[] Start(Layout layout) => Variation.Start(_space, Problem, layout, _random);
}
