using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>Rings for every open run that is due and that nobody holds: at the start, and again and again.</summary>
public sealed class Reconciler(IRunStore store, Bell bell, TimeProvider clock, ILogger<Reconciler> log) : BackgroundService
{
    private static readonly TimeSpan Every = TimeSpan.FromSeconds(2);

    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using PeriodicTimer timer = new(Every, clock);
        do
        {
            try
            {
                IReadOnlyList<string> waiting = store.Unheld();
                bell.OnlyFor(waiting);
                foreach (string runId in waiting)
                {
                    bell.Ring(runId);
                }
            }
            catch (System.Data.Common.DbException failure)
            {
                log.LogWarning("The store could not be asked for open runs, trying again: {Failure}", failure.Message);
            }
        }
        while (await timer.WaitForNextTickAsync(stoppingToken).ConfigureAwait(false));
    }
}
