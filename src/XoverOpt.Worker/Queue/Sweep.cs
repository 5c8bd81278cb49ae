using XoverOpt.Worker.Host;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>Ends the runs whose deadline passes while they wait, and deletes those that ended longer ago than they are to be kept.</summary>
public sealed class Sweep(IRunStore store, WorkerSettings settings, TimeProvider clock, ILogger<Sweep> log) : BackgroundService
{
    private static readonly TimeSpan Every = TimeSpan.FromSeconds(10);
    private static readonly TimeSpan PurgeEvery = TimeSpan.FromHours(1);
    private static readonly string Owner = $"{Environment.MachineName}/{Environment.ProcessId}/sweep";

    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using PeriodicTimer timer = new(Every, clock);
        long? purged = null;
        do
        {
            try
            {
                EndOverdue();
                if (settings.KeepEndedDays is { } days && (purged is null || clock.GetElapsedTime(purged.Value) >= PurgeEvery))
                {
                    purged = clock.GetTimestamp();
                    Purge(days);
                }
            }
            catch (Exception failure) when (failure is not OperationCanceledException)
            {
                log.LogWarning("The store could not be swept, trying again: {Failure}", failure.Message);
            }
        }
        while (await timer.WaitForNextTickAsync(stoppingToken).ConfigureAwait(false));
    }

    /// <summary>Ends what waits past its deadline and was never begun. What was begun is ended by whoever takes it, with what was found.</summary>
    internal void EndOverdue()
    {
        foreach (string runId in store.Overdue())
        {
            if (store.TryClaim(runId, Owner, settings.Lease) is not { } claim)
            {
                continue;
            }

            if (Missed(claim) is { } outcome)
            {
                store.Finish(runId, claim.Epoch, outcome);
                log.LogWarning("Run {RunId}: {Failure}", runId, outcome.Failure);
            }
            else
            {
                // Somebody began it in between: whoever takes it next ends it with what was found.
                store.Release(runId, claim.Epoch);
            }
        }
    }

    /// <summary>Deletes what ended so many days ago.</summary>
    internal void Purge(double days)
    {
        int count = store.Purge(TimeSpan.FromDays(days));
        if (count > 0)
        {
            log.LogInformation("{Count} runs that ended more than {Days} days ago were deleted", count, days);
        }
    }

    /// <summary>How a run ends whose deadline passed before there was anything to go on from; null for every other.</summary>
    internal static RunOutcome? Missed(RunClaim claim) => claim is { Deadline: { } deadline, Checkpoint: null, StopAsked: false } && claim.UntilDeadline <= TimeSpan.Zero
        ? new RunOutcome(
            RunState.Failed,
            null,
            FormattableString.Invariant($"its deadline, {deadline.UtcDateTime:yyyy-MM-dd HH:mm:ss} UTC, passed before anything was found"),
            null,
            null,
            null)
        : null;
}
