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
    /// <summary>An optimum that costs no more than this many times the best may make the better build.</summary>
    private const double RivalCost = 1.12;
    private readonly Schedule _schedule;
    private readonly TrialRunner _runner;
    private readonly LayoutSpace _space;
    private readonly Random64 _random;
    private readonly Elite _elite;
    private readonly TriedLayouts _tried;
    private readonly HashSet<string> _swept = [];
    private long _layoutsTried;
    private double _seenWithFreeBores;
    private readonly List<Found> _queue = [];
    private readonly List<Found> _snapped = [];
    private readonly List<StartEnd> _ends = [];
    private readonly List<Found> _rivals = [];
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
        _schedule = new Schedule(problem.Effort.Evaluations);
        _tried = new TriedLayouts(problem.Effort.Evaluations / (double)Schedule.CostOf(Schedule.Look));
        // A walk through all layouts only where the exploration pays for it; else they are drawn.
        double looks = _space.Total / _space.BoreShades;
        _cursor = looks <= CompleteWalk && looks * Schedule.CostOf(Schedule.Look) <= _schedule.Exploring ? 0 : -1;
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
        _seenWithFreeBores = state.SeenWithFreeBores;
        _swept = [.. state.Swept.Select(options => new Layout(options).Key)];
        _queue = [.. state.Queue];
        _snapped = [.. state.Snapped];
        _ends = [.. state.Ends];
        _rivals = [.. state.Rivals];
        foreach (Found found in state.Elite)
        {
            _elite.Offer(found, replace: true);
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
            return new(
                SearchProgress.PhaseOf(_stage), _evaluations, Problem.Effort.Evaluations, _layoutsTried, _space.Allowed, best?.Cost, best?.MagnitudeRmsDb, best?.PhaseMaxDeg);
        }
    }

    /// <summary>The next batch (a few tenths of a second of work at most); empty when done.</summary>
    public IReadOnlyList<Trial> Ask()
    {
        _asked = _stage switch
        {
            SearchStage.Explore => Explore(),
            SearchStage.Improve => Improve(),
            SearchStage.Refine => [.. _queue.Take(16).Select(found => new Trial(new(found.Options), found.Unit, _random.Next(), Round.Plan))],
            SearchStage.Snap => [.. _queue.Take(Math.Clamp(_schedule.Snaps, 4, 16)).Select(found => new Trial(new(found.Options), found.Unit, 0, new(24, 0, 0, 0, 12, _reason is null ? _schedule.SnapWidth : 2)))],
            _ => [],
        };
        if (_asked.Count == 0 && _stage == SearchStage.Explore)
        {
            // The walk is over, or no allowed layout turned up in thousands of draws: what there is, if anything, is all there will be.
            (_stage, _stale) = (_elite.Best is null ? SearchStage.Done : SearchStage.Improve, 0);
            _asked = Done ? [] : Improve();
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
            Layout layout = result.Layout ?? _asked[i].Layout;
            _evaluations += result.Evaluations;
            var found = new Found(layout.Options, result.Unit, result.Cost, result.MagnitudeRmsDb, result.PhaseMaxDeg, result.Choices);
            switch (_stage)
            {
                case SearchStage.Snap:
                    // After a stop what is known may be of a coarse grid, which does not compare.
                    Keep(found with { RelaxedCost = _reason is null ? _queue[i].Cost : double.NaN });
                    break;
                case SearchStage.Refine:
                    // In a round that goes to a finer grid the new cost holds even where it is higher.
                    _elite.Offer(found, replace: !Round.Neighbours && Round.Repeats == 1);
                    _ends.AddRange(Round.Repeats > 1 ? result.Ends : []);
                    _layoutsTried += Round.Neighbours && _tried.Add(layout) ? 1 : 0;
                    _rivals.AddRange(Round.Plan.PointsPerOctave == 24 ? result.Ends
                        .Where(end => end.Cost < RivalCost * _elite.Best!.Cost)
                        .Select(end => found with { Cost = end.Cost, Unit = end.Unit }) : []);
                    break;
                default:
                    _layoutsTried += _tried.Add(layout) ? 1 : 0;
                    if (_asked[i].Plan.FreeBores && _space.BoreShades > 1 && _tried.Add(_space.FirstBores(layout), 3))
                    {
                        _seenWithFreeBores += _space.BoreShades;
                    }

                    changed |= _elite.Offer(found);
                    break;
            }
        }

        if (_stage is SearchStage.Refine or SearchStage.Snap)
        {
            _queue.RemoveRange(0, results.Count);
        }

        if (_stage is SearchStage.Explore or SearchStage.Improve)
        {
            _stale = changed ? 0 : _stale + 1;
        }

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
        SeenWithFreeBores = _seenWithFreeBores,
        Swept = [.. _swept.Order(StringComparer.Ordinal).Select(Layout.OptionsOf)],
        Elite = [.. _elite.Ranked],
        Queue = [.. _queue],
        Snapped = [.. _snapped],
        Ends = [.. _ends],
        Rivals = [.. _rivals],
        Reason = _reason,
    };

    /// <summary>Ranked builds found so far.</summary>
    public SearchResult Result()
    {
        var evaluation = new BuildEvaluation(Problem, _runner.Tables(24));
        IEnumerable<RankedBuild> judged = _snapped.GroupBy(found => new Layout(found.Options).Key).Select(kin => kin.Select(found =>
        {
            var candidate = new Candidate(_runner.Tables(24), _space, new(found.Options));
            for (int q = 0; q < candidate.Ranges.Length; q++)
            {
                candidate.Hold(q, found.Choices![q]);
            }

            // Against the best ideal values of the layout, though the build may have come from another optimum of it.
            return evaluation.Judge(candidate.ToEarpiece(), kin.Min(other => other.RelaxedCost));
        }).Min(BuildRanking.Order)!);
        // Looking for layouts ends before the budget does; what follows is planned to fit the rest.
        StopReason reason = _reason ?? (_evaluations >= _schedule.Improving && _stale < _schedule.Patience ? StopReason.EvaluationsUsed : StopReason.Finished);
        IReadOnlyList<RankedBuild> ranked = BuildRanking.Rank(judged, Problem.Effort.Keep);
        if (Done)
        {
            var advice = new BuildAdvice(_runner.Tables(24), _space);
            ranked = RobustRanking.Of(Problem, [.. ranked.Select(advice.On)]);
        }

        // Layouts that a first look stood for, less all that were tried: some of those were no kin of a look, so it is no fewer than that.
        double givenUp = Math.Min(_seenWithFreeBores, _space.Allowed) - _layoutsTried;
        return new(ranked, reason, _evaluations, (long)Math.Min(_layoutsTried, _space.Allowed), _space.Allowed, _space.Exclusions, Problem.Effort.Seed)
        {
            GivenUp = givenUp <= 0 ? [] :
                [new("the same receivers and network with a bore that a first look did not favour", givenUp)],
            Values = _ends.Count == 0 ? null : SearchConfidence.OfStarts([.. _ends.Select(end => end.Cost)], [.. _ends.Select(end => end.Unit)], _elite.Best!.Cost),
        };
    }

    private Schedule.Round Round => _schedule.Rounds[_round];

    private void Advance()
    {
        if (_stage == SearchStage.Explore && (_cursor >= 0 ? _cursor >= _space.Total : _evaluations >= _schedule.Exploring))
        {
            (_stage, _stale) = (_elite.Best is null ? SearchStage.Done : SearchStage.Improve, 0);
        }

        if (_stage == SearchStage.Improve && (_evaluations >= _schedule.Improving || _stale >= _schedule.Patience))
        {
            _stage = SearchStage.Refine;
            StartRound(0);
        }

        while (_stage == SearchStage.Refine && _queue.Count == 0)
        {
            if (_round + 1 < _schedule.Rounds.Count)
            {
                StartRound(_round + 1);
                continue;
            }

            _stage = SearchStage.Snap;
            _queue.AddRange(_elite.Ranked.Take(_schedule.Snaps));
            // Another optimum of a layout may lie nearer to what can be bought than its best one.
            _queue.AddRange(_rivals
                .Where(rival => _queue.All(other => !rival.IsOptimumOf(other)))
                .DistinctBy(rival => (new Layout(rival.Options).Key, Math.Round(Math.Log(rival.Cost), 3)))
                .OrderBy(rival => rival.Cost)
                .Take(_schedule.Snaps));
            _rivals.Clear();
        }

        // Snaps cost what they cost: once the budget is used, those that the list of builds has no need of are left.
        if (_stage == SearchStage.Snap && (_queue.Count == 0 || (_evaluations >= Problem.Effort.Evaluations && _snapped.Count >= Problem.Effort.Keep)))
        {
            _queue.Clear();
            _stage = SearchStage.Done;
        }
    }

    /// <summary>All builds of a layout are kept: the one of least cost may break a limit that another keeps.</summary>
    private void Keep(Found build)
    {
        if (!_snapped.Exists(other => other.Options.AsSpan().SequenceEqual(build.Options) && other.Choices.AsSpan().SequenceEqual(build.Choices)))
        {
            _snapped.Add(build);
        }
    }

    private void StartRound(int round)
    {
        _round = round;
        if (Round.Neighbours)
        {
            var seen = _elite.Ranked.Select(found => new Layout(found.Options).Key).ToHashSet();
            foreach (Found parent in _elite.Ranked.Take(Round.Layouts))
            {
                _queue.AddRange(Variation.Neighbours(_space, new(parent.Options))
                    .Where(layout => _space.Allows(layout) && seen.Add(layout.Key))
                    .Select(layout => parent with { Options = layout.Options, Unit = Variation.Carry(_space, Problem, parent, layout) }));
            }

            return;
        }

        // Only what goes into the round stays, so that costs from different grids never stand in one list.
        if (round == 0 || Round.Plan.PointsPerOctave != _schedule.Rounds[round - 1].Plan.PointsPerOctave)
        {
            _elite.Trim(Round.Layouts);
        }

        _queue.AddRange(Enumerable.Repeat(_elite.Ranked.Take(Round.Layouts), Round.Repeats).SelectMany(best => best));
    }

    private List<Trial> Explore()
    {
        var batch = new List<Trial>(_schedule.BatchSize);
        for (; _cursor >= 0 && batch.Count < _schedule.BatchSize && _cursor < _space.Total; _cursor++)
        {
            Layout layout = _space.At(_cursor);
            if (_space.Allows(layout) && layout.Options.SequenceEqual(_space.FirstBores(layout).Options))
            {
                batch.Add(new(layout, null, _random.Next(), Schedule.Look));
            }
        }

        while (_cursor < 0 && batch.Count < _schedule.BatchSize && _space.Draw(_random) is { } drawn)
        {
            batch.Add(new(drawn, null, _random.Next(), Schedule.Look));
        }

        return batch;
    }

    /// <summary>
    /// Half of a batch are neighbours of the best layouts, one after another, until each has had all of its own tried; half are random
    /// changes and crosses of good ones, and now and then another go at one.
    /// </summary>
    private List<Trial> Improve()
    {
        var batch = new List<Trial>(_schedule.BatchSize);
        var inBatch = new HashSet<string>();
        foreach (Found parent in _elite.Ranked.Take(SweptBest).Where(found => !_swept.Contains(new Layout(found.Options).Key)))
        {
            bool whole = true;
            foreach (Layout neighbour in Variation.Neighbours(_space, new(parent.Options)))
            {
                if (!_tried.Has(neighbour, 2) && _space.Allows(neighbour) && inBatch.Add(neighbour.Key))
                {
                    _tried.Add(neighbour, 2);
                    batch.Add(new(neighbour, Variation.Carry(_space, Problem, parent, neighbour), _random.Next(), _schedule.Child));
                    whole = batch.Count < _schedule.BatchSize / 2;
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

        while (batch.Count < _schedule.BatchSize)
        {
            Found parent = _elite.Pick(_random);
            Layout? child = _random.NextDouble() < 0.15 ? null : Variation.Of(_space, parent, _elite, _random, layout => !_tried.Has(layout) && inBatch.Add(layout.Key));
            batch.Add(child is null
                ? new(new(parent.Options), null, _random.Next(), Schedule.Again)
                : new(child, Variation.Carry(_space, Problem, parent, child), _random.Next(), _schedule.Child));
        }

        return batch;
    }
}
