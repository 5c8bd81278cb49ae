using XoverOpt.Worker.Host;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>Rings for open runs that are due and that nobody holds: at the start, and again and again.</summary>
public sealed class Reconciler(IRunStore store, Bell bell, WorkerSettings settings, TimeProvider clock, ILogger<Reconciler> log) : BackgroundService
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
                // Any bell wakes for the most urgent run, so a few are enough, however many wait.
                foreach (string runId in waiting.Take(2 * settings.RunsAtOnce))
                {
                    bell.Ring(runId);
                }
            }
            catch (Exception failure) when (failure is not OperationCanceledException)
            {
                log.LogWarning("The store could not be asked for open runs, trying again: {Failure}", failure.Message);
            }
        }
        while (await timer.WaitForNextTickAsync(stoppingToken).ConfigureAwait(false));
    }
}
