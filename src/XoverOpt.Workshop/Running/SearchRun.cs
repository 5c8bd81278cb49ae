using System.Runtime.ExceptionServices;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>
/// Drives a search to its end: ask, evaluate on all threads, tell in index order. The one way a job is run, from the command
/// line and from the queue. What is found depends on the job and its seed only: not on threads, pace or interruptions,
/// unless the minutes run out or somebody stops it.
/// </summary>
public sealed class SearchRun
{
    private const int MostIdle = 10;
    private readonly LayoutSearch _search;
    private readonly RunPace _pace;
    private readonly TimeProvider _clock;
    private readonly TimeSpan _usedBefore;
    private readonly EvaluationRate _rate = new();
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
    }

    /// <summary>Ends the search as used-up minutes do once this has passed; null for no such time.</summary>
    public DateTimeOffset? Deadline { get; init; }

    /// <summary>Hears how far it has come: at the start, then no more often than the pace allows, and at the end.</summary>
    public Action<RunProgress> OnProgress { get; init; } = _ => { };

    /// <summary>Is given something to go on from, no more often than the pace allows, and when the run is left.</summary>
    public Action<RunCheckpoint> OnCheckpoint { get; init; } = _ => { };

    /// <summary>The best so far; from within the two listeners only.</summary>
    public SearchResult SoFar => _search.Result();

    private TimeSpan? UntilDeadline => Deadline - _clock.GetUtcNow();

    private TimeSpan Used => _usedBefore + _clock.GetElapsedTime(_started);

    /// <summary>Works until the search is done.</summary>
    /// <param name="stop">Ends the search early and keeps the best so far.</param>
    /// <param name="leave">Breaks off between two batches, after a last checkpoint, for another run to go on from.</param>
    /// <returns>What was found and why it ended.</returns>
    /// <exception cref="OperationCanceledException">It was left.</exception>
    public SearchResult Run(CancellationToken stop, CancellationToken leave = default)
    {
        _started = _clock.GetTimestamp();
        TimeSpan? limit = _search.Problem.Effort.Minutes is { } minutes ? TimeSpan.FromMinutes(minutes) : null;
        TimeSpan reported = Used;
        TimeSpan saved = reported;
        bool stopped = false;
        OnProgress(Progress(limit));

        int idle = 0;
        while (!_search.Done)
        {
            if (!stopped && (stop.IsCancellationRequested || Used >= limit || UntilDeadline <= TimeSpan.Zero))
            {
                _search.Stop(stop.IsCancellationRequested ? StopReason.Stopped : StopReason.TimeUsed);
                stopped = true;
            }

            if (leave.IsCancellationRequested)
            {
                // After a stop the last checkpoint before it stands: whoever goes on from there stops again.
                if (!stopped)
                {
                    OnCheckpoint(Checkpoint(Used));
                }

                leave.ThrowIfCancellationRequested();
            }

            IReadOnlyList<Trial> batch = _search.Ask();
            if (Evaluate(batch, stopped ? default : stop) is not { } results)
            {
                // Stopped amid the batch: what is not told is dropped, and the search ends from what it had.
                continue;
            }

            _search.Tell(results);

            // An empty batch may only close a stage; a search that asks for nothing time and again has nothing left.
            idle = batch.Count == 0 ? idle + 1 : 0;
            if (idle == MostIdle)
            {
                _search.Stop(StopReason.Finished);
            }

            TimeSpan now = Used;
            if (now - reported >= _pace.ProgressEvery)
            {
                reported = now;
                OnProgress(Progress(limit));
            }

            if (!stopped && now - saved >= _pace.CheckpointEvery)
            {
                saved = now;
                OnCheckpoint(Checkpoint(now));
            }
        }

        OnProgress(Progress(limit));
        return _search.Result();
    }

    private RunCheckpoint Checkpoint(TimeSpan used) => new(_search.Save(), used, CheckpointOrigin.Of(_search.Problem));

    /// <summary>The results in the order asked; null if the token broke it off.</summary>
    private TrialResult[]? Evaluate(IReadOnlyList<Trial> batch, CancellationToken breakOff)
    {
        var results = new TrialResult[batch.Count];
        try
        {
            // Each result goes to its trial's place, so the order told is the order asked, whoever was first.
            Parallel.For(
                0,
                batch.Count,
                new ParallelOptions { MaxDegreeOfParallelism = _pace.Threads, CancellationToken = breakOff },
                index => results[index] = _search.Evaluate(batch[index]));
        }
        catch (OperationCanceledException) when (breakOff.IsCancellationRequested)
        {
            return null;
        }
        catch (AggregateException failures)
        {
            ExceptionDispatchInfo.Throw(failures.InnerExceptions[0]);
        }

        return results;
    }

    private RunProgress Progress(TimeSpan? limit)
    {
        SearchProgress progress = _search.Progress;
        TimeSpan used = Used;
        double rate = _rate.Mark(used, progress.Evaluations);
        TimeSpan? left = rate > 0 ? Seconds((progress.EvaluationBudget - progress.Evaluations) / rate) : null;
        TimeSpan? most = limit - used;
        most = UntilDeadline is { } until && !(most < until) ? until : most;
        return new RunProgress(progress, rate, used, Clamp(most < left ? most : left));
    }

    private static TimeSpan Seconds(double seconds) => TimeSpan.FromSeconds(Math.Min(seconds, TimeSpan.MaxValue.TotalSeconds / 2));

    private static TimeSpan? Clamp(TimeSpan? time) => time < TimeSpan.Zero ? TimeSpan.Zero : time;
}
