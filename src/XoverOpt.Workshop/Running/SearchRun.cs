using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>
/// Drives a search to its end: what it asks for is evaluated on all threads and told in order. The one way a job is run, from the
/// command line and from the queue. What is found depends on the job and its seed only: not on threads, pace or interruptions,
/// unless the minutes run out or somebody stops it; then it depends on when, which the result records as a count of evaluations.
/// </summary>
public sealed class SearchRun
{
    // How soon a stop, an end of minutes or a leave is noticed while a batch is worked on.
    private static readonly TimeSpan Glance = TimeSpan.FromMilliseconds(20);
    private readonly LayoutSearch _search;
    private readonly RunPace _pace;
    private readonly TimeProvider _clock;
    private readonly TimeSpan _usedBefore;
    private readonly TimeSpan? _limit;
    private readonly EvaluationRate _rate = new();
    private volatile IReadOnlyList<Batch> _outstanding = [];
    private long _started;

    /// <summary>A run from the start.</summary>
    public SearchRun(Problem problem, RunPace pace, TimeProvider clock)
        : this(new LayoutSearch(problem), TimeSpan.Zero, pace, clock)
    {
    }

    /// <summary>A run that goes on from a checkpoint of the same program and problem.</summary>
    public SearchRun(Problem problem, RunCheckpoint from, RunPace pace, TimeProvider clock)
        : this(new LayoutSearch(problem, from.State), from.Used, pace, clock)
    {
    }

    private SearchRun(LayoutSearch search, TimeSpan usedBefore, RunPace pace, TimeProvider clock)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(pace.Threads, 1);
        _search = search;
        _usedBefore = usedBefore;
        _pace = pace;
        _clock = clock;
        // An end that was asked for in evaluations is reached on any machine, however slow.
        Effort effort = search.Problem.Effort;
        _limit = effort is { EndAfter: null, Minutes: { } minutes } ? TimeSpan.FromMinutes(minutes) : null;
    }

    /// <summary>Ends the search as used-up minutes do once this has passed; null for no such time.</summary>
    public DateTimeOffset? Deadline { get; init; }

    /// <summary>Hears how far it has come: at the start, then no more often than the pace allows, and at the end.</summary>
    public Action<RunProgress> OnProgress { get; init; } = _ => { };

    /// <summary>Is given something to go on from, no more often than the pace allows, and when the run is left.</summary>
    public Action<RunCheckpoint> OnCheckpoint { get; init; } = _ => { };

    /// <summary>Lends trials to other workers; null to work alone.</summary>
    public TrialLoan? Loan { get; init; }

    /// <summary>The best so far; from within the two listeners only.</summary>
    public SearchResult SoFar => _search.Result(_pace.Threads);

    private TimeSpan? UntilDeadline => Deadline - _clock.GetUtcNow();

    private TimeSpan Used => _usedBefore + _clock.GetElapsedTime(_started);

    /// <summary>Works until the search is done.</summary>
    /// <param name="stop">Ends the search early and keeps the best so far; where the search is over and only advice is missing, does without.</param>
    /// <param name="leave">Breaks off, after a last checkpoint, for another run to go on from.</param>
    /// <returns>What was found and why it ended.</returns>
    /// <exception cref="OperationCanceledException">It was left.</exception>
    public SearchResult Run(CancellationToken stop, CancellationToken leave = default)
    {
        _started = _clock.GetTimestamp();
        using TrialCrew crew = new(_search.Evaluate, _pace.Threads, _clock);
        using CancellationTokenSource end = new();
        WorkOn(crew, _search.Outstanding);
        Task lending = Loan is { } loan
            ? Task.Factory.StartNew(() => loan.Run(crew, () => _outstanding, end.Token), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default)
            : Task.CompletedTask;
        try
        {
            return Work(crew, stop, leave);
        }
        finally
        {
            end.Cancel();
            lending.Wait(CancellationToken.None);
        }
    }

    private SearchResult Work(TrialCrew crew, CancellationToken stop, CancellationToken leave)
    {
        TimeSpan reported = Used, saved = reported, told = reported;
        OnProgress(Progress(crew));

        bool stopped = false;
        while (!_search.Done)
        {
            if (!stopped && (stop.IsCancellationRequested || Used >= _limit || UntilDeadline <= TimeSpan.Zero))
            {
                _search.Stop(stop.IsCancellationRequested ? StopReason.Stopped : StopReason.TimeUsed);
                WorkOn(crew, _search.Outstanding);
                stopped = true;
                continue;
            }

            if (leave.IsCancellationRequested)
            {
                // After a stop the last checkpoint before it stands: whoever goes on from there stops again.
                if (!stopped)
                {
                    Save(Used);
                }

                leave.ThrowIfCancellationRequested();
            }

            if (crew.Oldest(Glance) is not { } results)
            {
                continue;
            }

            _search.Tell(results);
            WorkOn(crew, _search.Outstanding);
            TimeSpan now = Used;
            RunMeter.BatchDuration.Record((now - told).TotalSeconds);
            told = now;
            if (now - reported >= _pace.ProgressEvery)
            {
                reported = now;
                OnProgress(Progress(crew));
            }

            if (!stopped && now - saved >= _pace.CheckpointEvery)
            {
                saved = now;
                Save(now);
            }
        }

        OnProgress(Progress(crew));
        return _search.ResultInTime(_pace.Threads, stopped ? CancellationToken.None : stop);
    }

    private void WorkOn(TrialCrew crew, IReadOnlyList<Batch> outstanding)
    {
        _outstanding = outstanding;
        crew.WorkOn(outstanding, Loan is null ? null : Loan.Lend);
    }

    private void Save(TimeSpan used)
    {
        long begun = _clock.GetTimestamp();
        OnCheckpoint(new(_search.Save(), used, CheckpointOrigin.Of(_search.Problem)));
        RunMeter.StepDuration.Record(_clock.GetElapsedTime(begun).TotalSeconds);
    }

    private RunProgress Progress(TrialCrew crew)
    {
        SearchProgress progress = _search.Progress;
        TimeSpan used = Used;
        double rate = _rate.Mark(used, progress.Evaluations);
        TimeSpan? left = rate > 0 ? Seconds((progress.EvaluationBudget - progress.Evaluations) / rate) : null;
        TimeSpan? most = _limit - used;
        most = UntilDeadline is { } until && !(most < until) ? until : most;
        double worked = _pace.Threads * _clock.GetElapsedTime(_started).TotalSeconds;
        return new RunProgress(progress, rate, used, Clamp(most < left ? most : left))
        {
            OutsideEvaluation = worked > 0 ? Math.Clamp(1 - (crew.Evaluating.TotalSeconds / worked), 0, 1) : 0,
        };
    }

    private static TimeSpan Seconds(double seconds) => TimeSpan.FromSeconds(Math.Min(seconds, TimeSpan.MaxValue.TotalSeconds / 2));

    private static TimeSpan? Clamp(TimeSpan? time) => time < TimeSpan.Zero ? TimeSpan.Zero : time;
}
