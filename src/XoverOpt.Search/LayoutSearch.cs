namespace XoverOpt.Search;

/// <summary>
/// The search as a state machine. It asks for up to two batches of trials at once, so that whoever evaluates them need not idle at the
/// end of one; results are told batch by batch, in the order asked. Each batch depends on those told before it was asked, and these are
/// always the same: the result depends on the problem and the seed, never on threads, time or interruptions.
/// <para>
/// Layouts are first tried from all over (all of them, where they are few), then the best are changed bit by bit and crossed, each new
/// layout optimised from its parent's values; the best are optimised on a finer grid and made buildable. Of layouts that share
/// receivers and counts only a few are carried, so that the list holds different earpieces. A large budget begins afresh several times,
/// and what each beginning found is improved together in the end. Builds that the job knows beforehand are taken up first: kept as they
/// are where they can be built, their layouts beside what is found from all over.
/// </para>
/// </summary>
public sealed class LayoutSearch
{
    private const int Depth = 2;
    private const int EliteSize = 160;
    private const int FamilyCap = 5;
    private const int FinePoints = 24;
    /// <summary>An optimum that costs no more than this many times the best may make the better build.</summary>
    private const double RivalCost = 1.12;
    /// <summary>How many of the best are made buildable, quickly, where nothing was before the end.</summary>
    private const int LastBuilds = 4;
    private static readonly TrialPlan LastSnap = new(FinePoints, 0, 0, 0, 12, SnapWidth: TrialRunner.QuickWidth);
    private readonly Schedule _schedule;
    private readonly TrialRunner _runner;
    private readonly LayoutSpace _space;
    private readonly Elite _elite;
    private readonly LayoutProposals _proposals;
    private readonly SnappedBuilds _snapped;
    private readonly List<Batch> _outstanding = [];
    private readonly List<Found> _queue = [];
    private readonly List<StartEnd> _ends = [];
    private readonly List<Found> _rivals = [];
    private SearchStage _stage = SearchStage.Explore;
    private StopReason? _reason;
    private long? _endedAt;
    private long _layoutsTried;
    private double _seenWithFreeBores;
    private long _evaluations;
    private int _stale;
    private int _round;
    private readonly Beginnings _beginnings;
    private readonly int _keptBuilds;

    /// <summary>Starts a search, or goes on from a saved state.</summary>
    /// <param name="problem">The problem.</param>
    /// <param name="from">A state of a search of the same problem; null to start.</param>
    public LayoutSearch(Problem problem, SearchState? from = null)
    {
        Problem = problem;
        _space = new LayoutSpace(problem);
        _runner = new TrialRunner(problem, _space);
        _elite = new Elite(_space, EliteSize, FamilyCap);
        var plan = new Schedule(problem.Effort.Evaluations, known: true);
        List<Found> known = KnownBuilds.Layouts(problem, _runner.Tables(FinePoints), _space, plan.MostKnown);
        _schedule = known.Count > 0 ? plan : new Schedule(problem.Effort.Evaluations);
        _proposals = new LayoutProposals(problem, _space, _schedule, _elite, from);
        _beginnings = new Beginnings(_schedule, _proposals, _elite, EliteSize / 4, from);
        _snapped = new SnappedBuilds(new BuildEvaluation(problem, _runner.Tables(FinePoints)), _runner.Tables(FinePoints), _space);
        KnownBuilds.AsTheyAre(problem, _runner.Tables(FinePoints), _space).ForEach(_snapped.Keep);
        _keptBuilds = _snapped.Found.Count;
        if (from is not null)
        {
            GoOn(from);
        }
        else if (_space.Allowed == 0)
        {
            _stage = SearchStage.Done;
        }
        else if (known.Count > 0)
        {
            _stage = SearchStage.Known;
            _queue.AddRange(known);
            _evaluations = _keptBuilds;
        }

        AskMore();
    }

    /// <summary>The problem.</summary>
    public Problem Problem { get; }

    /// <summary>Nothing is left to do.</summary>
    public bool Done => _stage == SearchStage.Done;

    /// <summary>Batches asked and not told yet, oldest first: one or two of them (each a few tenths of a second of work at most), none when done.</summary>
    public IReadOnlyList<Batch> Outstanding => [.. _outstanding];

    /// <summary>How far it has come.</summary>
    public SearchProgress Progress
    {
        get
        {
            RankedBuild? build = _snapped.Best;
            Found? ideal = new[] { _beginnings.Best, _elite.Best }.MinBy(found => found?.Cost ?? double.PositiveInfinity);
            return new(
                SearchProgress.PhaseOf(_stage),
                _evaluations,
                Problem.Effort.Evaluations,
                _layoutsTried,
                _space.Allowed,
                build?.Cost.Total ?? ideal?.Cost,
                build?.Figures.MagnitudeRmsDb ?? ideal?.MagnitudeRmsDb,
                build?.Figures.PhaseMaxDeg ?? ideal?.PhaseMaxDeg);
        }
    }

    /// <summary>Evaluates one trial. Pure: the result depends on the trial only, never on thread or time.</summary>
    /// <exception cref="OperationCanceledException">It was broken off, since nobody wants its result any more.</exception>
    public TrialResult Evaluate(Trial trial, CancellationToken breakOff = default) => _runner.Run(trial, breakOff);

    /// <summary>Takes the results of the oldest outstanding batch, in its order.</summary>
    /// <exception cref="InvalidOperationException">No batch is outstanding.</exception>
    /// <exception cref="ArgumentException">Not as many results as trials asked.</exception>
    public void Tell(IReadOnlyList<TrialResult> results)
    {
        Batch batch = _outstanding.Count > 0 ? _outstanding[0] : throw new InvalidOperationException("Nothing was asked.");
        if (results.Count != batch.Trials.Count)
        {
            throw new ArgumentException("One result a trial, in order.", nameof(results));
        }

        _outstanding.RemoveAt(0);
        bool changed = false;
        for (int i = 0; i < results.Count; i++)
        {
            _evaluations += results[i].Evaluations;
            changed |= Take(batch.Stage, batch.Trials[i], results[i], batch.Stage == SearchStage.Snap ? _queue[i].Cost : double.NaN);
        }

        if (batch.Stage is SearchStage.Known or SearchStage.Refine or SearchStage.Snap)
        {
            _queue.RemoveRange(0, results.Count);
        }
        else
        {
            _stale = changed ? 0 : _stale + 1;
        }

        AskMore();
    }

    /// <summary>
    /// Ends the search early, from what has been told: what is outstanding is dropped, and all that follows is a short finish (a fraction
    /// of a second) that makes a few of the best buildable, if none is yet.
    /// </summary>
    public void Stop(StopReason reason)
    {
        if (_reason is not null || Done)
        {
            return;
        }

        (_reason, _endedAt) = (reason, _evaluations);
        _outstanding.Clear();
        _queue.Clear();
        _beginnings.Rejoin();
        // What is already snapped stays; if nothing is but what was known before, a few of the best are, quickly.
        if (_snapped.Found.Count == _keptBuilds)
        {
            _queue.AddRange(_elite.Ranked.Take(Math.Min(LastBuilds, Problem.Effort.Keep)));
        }

        _stage = _queue.Count > 0 ? SearchStage.Snap : SearchStage.Done;
        AskMore();
    }

    /// <summary>The state between two tells. What is outstanding is in it, to be evaluated again.</summary>
    public SearchState Save() => _beginnings.Save(new()
    {
        Stage = _stage,
        Random = _proposals.Random,
        Evaluations = _evaluations,
        Cursor = _proposals.Cursor,
        Stale = _stale,
        Round = _round,
        Tried = _proposals.Tried.Save(),
        LayoutsTried = _layoutsTried,
        SeenWithFreeBores = _seenWithFreeBores,
        Swept = _proposals.Swept,
        Outstanding = Outstanding,
        Elite = [.. _elite.Ranked],
        Queue = [.. _queue],
        Snapped = [.. _snapped.Found],
        Ends = [.. _ends],
        Rivals = [.. _rivals],
        Reason = _reason,
        EndedAt = _endedAt,
    });

    /// <summary>Ranked builds found so far, with advice on each once it is done; on the best only where it was ended early, when somebody waits.</summary>
    /// <param name="threads">Threads that may work on advice at once, ≥ 1.</param>
    public SearchResult Result(int threads = 1) => ResultInTime(threads, CancellationToken.None);

    /// <summary>The same, without the advice that is not there yet when somebody is in a hurry.</summary>
    /// <param name="threads">Threads that may work on advice at once, ≥ 1.</param>
    /// <param name="hurry">Breaks off what is tried for advice.</param>
    public SearchResult ResultInTime(int threads, CancellationToken hurry)
    {
        // Looking for layouts ends before the budget does; what follows is planned to fit the rest.
        StopReason reason = _reason ?? (_evaluations >= _schedule.Improving && _stale < _schedule.Patience ? StopReason.EvaluationsUsed : StopReason.Finished);
        RankedBuild[] ranked = [.. BuildRanking.Rank(_snapped.OfEachLayout, Problem.Effort.Keep)];
        if (Done)
        {
            Parallel.For(
                0,
                _reason is null ? ranked.Length : Math.Min(ranked.Length, 1),
                new ParallelOptions { MaxDegreeOfParallelism = threads },
                () => new BuildAdvice(_runner.Tables(FinePoints), _space, hurry),
                (i, _, advice) =>
                {
                    try
                    {
                        ranked[i] = advice.On(ranked[i]);
                    }
                    catch (OperationCanceledException) when (hurry.IsCancellationRequested)
                    {
                        // The build itself is there.
                    }

                    return advice;
                },
                _ => { });
            ranked = [.. RobustRanking.Of(Problem, ranked)];
        }

        // Layouts that a first look stood for, less all that were tried: some of those were no kin of a look, so it is no fewer than that.
        double givenUp = Math.Min(_seenWithFreeBores, _space.Allowed) - _layoutsTried;
        return new(ranked, reason, _evaluations, (long)Math.Min(_layoutsTried, _space.Allowed), _space.Allowed, _space.Exclusions, Problem.Effort.Seed)
        {
            EndedAtEvaluations = _endedAt,
            GivenUp = givenUp <= 0 ? [] :
                [new("the same receivers and network with a bore that a first look did not favour", givenUp)],
            Values = _ends.Count == 0 ? null : SearchConfidence.OfStarts([.. _ends.Select(end => end.Cost)], [.. _ends.Select(end => end.Unit)], _elite.Best!.Cost),
        };
    }

    private void GoOn(SearchState from)
    {
        _stage = from.Stage;
        _evaluations = from.Evaluations;
        _stale = from.Stale;
        _round = from.Round;
        _reason = from.Reason;
        _endedAt = from.EndedAt;
        _layoutsTried = from.LayoutsTried;
        _seenWithFreeBores = from.SeenWithFreeBores;
        _outstanding.AddRange(from.Outstanding);
        _queue.AddRange(from.Queue);
        _ends.AddRange(from.Ends);
        _rivals.AddRange(from.Rivals);
        foreach (Found found in from.Elite)
        {
            _elite.Offer(found, replace: true);
        }

        foreach (Found build in from.Snapped)
        {
            _snapped.Keep(build);
        }
    }

    private Schedule.Round Round => _schedule.Rounds[_round];

    private bool Improved => _stale >= _schedule.Patience || _beginnings.Used(_evaluations);

    /// <summary>Snaps cost what they cost: once the budget is used, those that the list of builds has no need of are left.</summary>
    private bool SnappedEnough => _queue.Count == 0
        || (_reason is null && _evaluations >= Problem.Effort.Evaluations && _snapped.Found.Count - _keptBuilds >= Problem.Effort.Keep);

    /// <summary>What is known of one more layout; whether the best changed by it.</summary>
    private bool Take(SearchStage stage, Trial trial, TrialResult result, double relaxedCost)
    {
        Layout layout = result.Layout ?? trial.Layout;
        var found = new Found(layout.Options, result.Unit, result.Cost, result.MagnitudeRmsDb, result.PhaseMaxDeg, result.Choices);
        switch (stage)
        {
            case SearchStage.Snap:
                // After an early end what is known may be of a coarse grid, which does not compare.
                _snapped.Keep(found with { RelaxedCost = _reason is null ? relaxedCost : double.NaN });
                return false;
            case SearchStage.Refine:
                // In a round that goes to a finer grid the new cost holds even where it is higher.
                _elite.Offer(found, replace: !Round.Neighbours && Round.Repeats == 1);
                _ends.AddRange(Round.Repeats > 1 ? result.Ends : []);
                _layoutsTried += Round.Neighbours && _beginnings.IsNew(layout) ? 1 : 0;
                _rivals.AddRange(Round.Plan.PointsPerOctave == FinePoints ? result.Ends
                    .Where(end => end.Cost < RivalCost * _elite.Best!.Cost)
                    .Select(end => found with { Cost = end.Cost, Unit = end.Unit }) : []);
                return false;
            default:
                _layoutsTried += _beginnings.IsNew(layout) ? 1 : 0;
                if (trial.Plan.FreeBores && _space.BoreShades > 1 && _beginnings.IsNew(_space.FirstBores(layout), 3))
                {
                    _seenWithFreeBores += _space.BoreShades;
                }

                return _elite.Offer(found);
        }
    }

    /// <summary>Asks until as many batches are outstanding as may be, or until what comes next depends on results that are.</summary>
    private void AskMore()
    {
        List<Trial>? trials;
        do
        {
            Advance();
            trials = _outstanding.Count < Depth ? Next() : null;
            if (trials is { Count: > 0 })
            {
                _outstanding.Add(new(_stage, trials));
            }
        }
        while (trials is not null || (_outstanding.Count == 0 && !Done));

        if (_evaluations >= Problem.Effort.EndAfter)
        {
            Stop(StopReason.EvaluationsUsed);
        }
    }

    /// <summary>The next trials; null where they depend on results that are outstanding, or none are left.</summary>
    private List<Trial>? Next() => _stage switch
    {
        SearchStage.Known when Unasked.Any() => [.. Unasked.Take(_schedule.BatchSize).Select(found => new Trial(new(found.Options), found.Unit, 0, Schedule.Taken))],
        SearchStage.Explore when !_beginnings.Explored(_evaluations) => _proposals.Explore(),
        SearchStage.Improve when !Improved => _proposals.Improve(_outstanding.SelectMany(batch => batch.Trials).Select(trial => trial.Layout)),
        SearchStage.Refine when Unasked.Any() => [.. Unasked.Take(16).Select(found => new Trial(new(found.Options), found.Unit, _proposals.Seed(), Round.Plan))],
        SearchStage.Snap when Unasked.Any() && !SnappedEnough => [.. Unasked.Take(Math.Clamp(_schedule.Snaps, 4, 16)).Select((found, at) => new Trial(
            new(found.Options), found.Unit, 0, _reason is null ? LastSnap with { SnapWidth = SnapWidth(at) } : LastSnap))],
        _ => null,
    };

    /// <summary>How wide a look the snap takes that is so many after those asked and told.</summary>
    private int SnapWidth(int at) =>
        _snapped.Found.Count - _keptBuilds + _outstanding.Sum(batch => batch.Trials.Count) + at < _schedule.WideSnaps ? Math.Max(Schedule.Wide, _schedule.SnapWidth) : _schedule.SnapWidth;

    /// <summary>The queue without what is outstanding, which a stage that goes through it keeps at its front until it is told.</summary>
    private IEnumerable<Found> Unasked => _queue.Skip(_outstanding.Sum(batch => batch.Trials.Count));

    /// <summary>Goes to the next stage or round where this one is over. From improving on that waits for all that is outstanding.</summary>
    private void Advance()
    {
        bool told = _outstanding.Count == 0;
        if (_stage == SearchStage.Known && told && _queue.Count == 0)
        {
            // Where a search begins several times, what is known is the first beginning. Else it goes beside what is found from all over.
            _beginnings.CountFrom(_evaluations);
            (_stage, _stale) = (_beginnings.Many && _elite.Best is not null ? SearchStage.Improve : SearchStage.Explore, 0);
        }

        if (_stage == SearchStage.Explore && _beginnings.Explored(_evaluations) && (told || _elite.Best is not null))
        {
            // Where nothing allowed turned up in this beginning, what earlier ones found goes on; if there is none, nothing is to be had.
            if (_elite.Best is null)
            {
                _beginnings.GiveUp();
            }

            (_stage, _stale) = (_elite.Best is null ? SearchStage.Done : SearchStage.Improve, 0);
        }

        if (_stage == SearchStage.Improve && told && Improved)
        {
            if (_beginnings.Many)
            {
                (_stage, _stale) = (_beginnings.BeginAfresh(_evaluations) ? SearchStage.Explore : SearchStage.Improve, 0);
            }
            else
            {
                _beginnings.Rejoin();
                _stage = SearchStage.Refine;
                StartRound(0);
            }
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

        if (_stage == SearchStage.Snap && told && SnappedEnough)
        {
            _queue.Clear();
            _stage = SearchStage.Done;
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
}
