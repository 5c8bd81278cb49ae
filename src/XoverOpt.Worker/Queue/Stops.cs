using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>
/// Ends the runs that were asked to stop while nobody held them, beside the queue: making a result of what was found takes a moment, and
/// must not wait until a search that goes on for hours leaves a place.
/// </summary>
public sealed class Stops(IRunStore store, INews news, RunJob job, ILogger<Stops> log) : BackgroundService
{
    private const int Most = 200;

    // News may be lost, and a holder may fall silent after it was asked.
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(2);

    /// <inheritdoc/>
    protected override Task ExecuteAsync(CancellationToken stoppingToken) =>
        Task.Factory.StartNew(() => Work(stoppingToken), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);

    /// <summary>Ends those that are to be had now.</summary>
    internal void EndAll(CancellationToken end)
    {
        IReadOnlyList<RunRecord> asked = store.List(RunState.Stopping, null, Most);
        if (asked.Count == 0)
        {
            return;
        }

        var unheld = store.Unheld().ToHashSet();
        foreach (RunRecord run in asked.Where(run => unheld.Contains(run.Id) && !end.IsCancellationRequested))
        {
            job.RunOnly(run.Id, end);
        }
    }

    private void Work(CancellationToken end)
    {
        while (!end.IsCancellationRequested)
        {
            Task fresh = news.Coming(NewsTopic.Work);
            try
            {
                EndAll(end);
            }
            catch (Exception failure)
            {
                log.LogWarning("The store could not be asked for runs to stop, trying again: {Failure}", failure.Message);
            }

            Task.WaitAny([fresh, Task.Delay(LookEvery, end)], CancellationToken.None);
        }
    }
}
