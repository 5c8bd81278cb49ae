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
    private const int SweptBest = 24;
    private const int EliteSize = 160;
    private const int FamilyCap = 5;
    private const int CompleteWalk = 20_000;
    private const int PatienceBatches = 60;
    private const int TypicalSnap = 4000;

    /// <summary>A first look at a layout.</summary>
    private static readonly TrialPlan Look = new(6, 1, 12, 0, 12);

    /// <summary>A layout made from a good one: its parent's values race a fresh start.</summary>
    private static readonly TrialPlan Child = new(6, 1, 12, 6, 20);

    /// <summary>Another go at a good layout.</summary>
    private static readonly TrialPlan Again = new(6, 2, 16, 8, 40);

    private readonly int _batchSize;
    private readonly int _beamWidth;
    private readonly TrialRunner _runner;
    private readonly LayoutSpace _space;
    private readonly Random64 _random;
    private readonly Elite _elite;
    private readonly TriedLayouts _tried;
    private readonly HashSet<string> _swept = [];
    private long _layoutsTried;
    private readonly List<Found> _queue = [];
    private readonly List<Found> _snapped = [];
    private SearchStage _stage = SearchStage.Explore;
    private StopReason? _reason;
    private List<Trial> _asked = [];
    private long _evaluations;
    private long _cursor;
    private int _stale;
    private int _round;

    /// <summary>Starts a search.</summary>
    public LayoutSearch(Problem problem)
    {
        Problem = problem;
        _space = new LayoutSpace(problem);
        _runner = new TrialRunner(problem, _space);
        _elite = new Elite(_space, EliteSize, FamilyCap);
        _random = new Random64(problem.Effort.Seed);
        long budget = problem.Effort.Evaluations;
        _tried = new TriedLayouts(budget / (double)CostOf(Look));
        // A walk through all layouts only where a fifth of the budget pays for it; else they are drawn.
        _cursor = _space.Total <= CompleteWalk && _space.Total * CostOf(Look) <= budget / 5.0 ? 0 : -1;
        // Small budgets go in small batches and a narrow beam, so that they are kept to within a batch or so.
        _batchSize = (int)Math.Clamp(budget / (20 * CostOf(Child)), 4, 192);
        _beamWidth = budget < 40 * TypicalSnap ? 4 : 16;
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
        _round = state.Round;
        _reason = state.Reason;
        _tried = new TriedLayouts(state.Tried);
        _layoutsTried = state.LayoutsTried;
        _swept = [.. state.Swept.Select(options => new Layout(options).Key)];
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
                phase, _evaluations, Problem.Effort.Evaluations, _layoutsTried, _space.Allowed, best?.Cost, best?.MagnitudeRmsDb, best?.PhaseMaxDeg);
        }
    }

    /// <summary>The next batch (a few tenths of a second of work at most); empty when done.</summary>
    public IReadOnlyList<Trial> Ask()
    {
        _asked = _stage switch
        {
            SearchStage.Explore => Explore(),
            SearchStage.Improve => Improve(),
            SearchStage.Refine => [.. _queue.Take(16).Select(found => new Trial(new(found.Options), found.Unit, _random.Next(), Refinement(_round)))],
            SearchStage.Snap => [.. _queue.Take(8).Select(found => new Trial(new(found.Options), found.Unit, 0, new(12, 0, 0, 0, 12, _reason is null ? _beamWidth : 1)))],
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
                    _elite.Offer(found with { Ends = [.. _queue[i].Ends ?? [], .. result.Ends] }, replace: true);
                    break;
                default:
                    _layoutsTried += _tried.Add(layout) ? 1 : 0;
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
        Round = _round,
        Tried = _tried.Save(),
        LayoutsTried = _layoutsTried,
        Swept = [.. _swept.Order(StringComparer.Ordinal).Select(Layout.OptionsOf)],
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
        StopReason reason = _reason ?? (_evaluations >= Problem.Effort.Evaluations * 6 / 10 ? StopReason.EvaluationsUsed : StopReason.Finished);
        return new(
            BuildRanking.Rank(judged, Problem.Effort.Keep), reason, _evaluations, _layoutsTried, _space.Allowed, _space.Exclusions, Problem.Effort.Seed);
    }

    private void Advance()
    {
        long budget = Problem.Effort.Evaluations;
        if (_stage == SearchStage.Explore && (_cursor >= 0 ? _cursor >= _space.Total || _evaluations >= budget * 6 / 10 : _evaluations >= budget / 5))
        {
            (_stage, _stale) = (SearchStage.Improve, 0);
        }

        if (_stage == SearchStage.Improve && (_evaluations >= budget * 6 / 10 || _stale >= PatienceBatches))
        {
            _stage = SearchStage.Refine;
            StartRound(0);
        }

        while (_stage == SearchStage.Refine && _queue.Count == 0)
        {
            if (_round + 1 < Survivors.Length)
            {
                StartRound(_round + 1);
                continue;
            }

            _stage = SearchStage.Snap;
            int affordable = (int)Math.Clamp((budget - _evaluations) / (_beamWidth == 4 ? TypicalSnap / 3 : TypicalSnap), Math.Clamp(budget / 4000, 1, Problem.Effort.Keep), 8 * Problem.Effort.Keep);
            _queue.AddRange(_elite.Ranked.Take(affordable));
        }

        if (_stage == SearchStage.Snap && _queue.Count == 0)
        {
            _stage = SearchStage.Done;
        }
    }

    private static readonly int[] Survivors = [96, 24, 6];

    private void StartRound(int round)
    {
        _round = round;
        // Every round gets a third of a fifth of the budget, on fewer and fewer layouts.
        double each = Problem.Effort.Evaluations / 15.0 / CostOf(new(12, 1, 16, 0, 80));
        _queue.AddRange(_elite.Ranked.Take((int)Math.Clamp(each / 2, 1, Survivors[round])));
    }

    private TrialPlan Refinement(int round)
    {
        double each = Problem.Effort.Evaluations / 15.0 / CostOf(new(12, 1, 16, 0, 80));
        return new(12, (int)Math.Clamp((each / Survivors[round]) - 1, 1, 64), 16, 0, 80);
    }

    private static int CostOf(TrialPlan plan) => ((plan.Starts + 1) * plan.Sprint * Descent.StepCost) + (plan.Starts * plan.Draws) + (plan.Steps * Descent.StepCost * 3 / 4);

    private List<Trial> Explore()
    {
        var batch = new List<Trial>(_batchSize);
        for (; _cursor >= 0 && batch.Count < _batchSize && _cursor < _space.Total; _cursor++)
        {
            Layout layout = _space.At(_cursor);
            if (_space.Allows(layout))
            {
                batch.Add(new(layout, null, _random.Next(), Look));
            }
        }

        while (_cursor < 0 && batch.Count < _batchSize && _space.Draw(_random) is { } drawn)
        {
            batch.Add(new(drawn, null, _random.Next(), Look));
        }

        return batch;
    }

    /// <summary>
    /// Half of a batch are neighbours of the best layouts, one after another, until each has had all of its own tried; half are random
    /// changes and crosses of good ones, and now and then another go at one.
    /// </summary>
    private List<Trial> Improve()
    {
        var batch = new List<Trial>(_batchSize);
        var inBatch = new HashSet<string>();
        foreach (Found parent in _elite.Ranked.Take(SweptBest).Where(found => !_swept.Contains(new Layout(found.Options).Key)))
        {
            bool whole = true;
            foreach (Layout neighbour in Variation.Neighbours(_space, new(parent.Options)))
            {
                if (!_tried.Has(neighbour, 2) && _space.Allows(neighbour) && inBatch.Add(neighbour.Key))
                {
                    _tried.Add(neighbour, 2);
                    batch.Add(new(neighbour, Variation.Carry(_space, Problem, parent, neighbour), _random.Next(), Child));
                    whole = batch.Count < _batchSize / 2;
                    if (!whole)
                    {
                        break;
                    }
                }
            }

            if (!whole)
            {
                break;
            }

            _swept.Add(new Layout(parent.Options).Key);
        }

        while (batch.Count < _batchSize)
        {
            Found parent = _elite.Pick(_random);
            Layout? child = _random.NextDouble() < 0.15 ? null : Variation.Of(_space, parent, _elite, _random, layout => !_tried.Has(layout) && inBatch.Add(layout.Key));
            batch.Add(child is null
                ? new(new(parent.Options), null, _random.Next(), Again)
                : new(child, Variation.Carry(_space, Problem, parent, child), _random.Next(), Child));
        }

        return batch;
    }
}
