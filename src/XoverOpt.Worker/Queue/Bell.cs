using System.Collections.Concurrent;
using Hangfire;

namespace XoverOpt.Worker.Queue;

/// <summary>
/// Wakes a worker for a run. The queue carries the run's id and nothing else: a bell that rings twice finds nothing to claim,
/// one that is lost is rung again by the <see cref="Reconciler"/>.
/// </summary>
public sealed class Bell(IBackgroundJobClient queue, TimeProvider clock, ILogger<Bell> log)
{
    /// <summary>A ring not heard for so long counts as lost. It may only be waiting its turn: then the second one finds nothing to do.</summary>
    public static readonly TimeSpan LostAfter = TimeSpan.FromMinutes(2);

    // When each bell last rang, as a timestamp of the clock.
    private readonly ConcurrentDictionary<string, long> _ringing = new();

    /// <summary>Rings, unless it rings already. Never throws: a run whose bell cannot be rung is still open, and is rung for again.</summary>
    public void Ring(string runId)
    {
        long now = clock.GetTimestamp();
        if (!_ringing.TryAdd(runId, now)
            && !(_ringing.TryGetValue(runId, out long rung) && clock.GetElapsedTime(rung, now) >= LostAfter && _ringing.TryUpdate(runId, now, rung)))
        {
            return;
        }

        try
        {
            queue.Enqueue<RunJob>(job => job.Run(runId, CancellationToken.None));
        }
        catch (Exception failure)
        {
            Heard(runId);
            log.LogWarning("Run {RunId}: no worker could be woken, trying again: {Failure}", runId, failure.Message);
        }
    }

    /// <summary>Forgets the rings for runs that no longer wait: somebody heard them, if in another process, and should one wait again it is rung for at once.</summary>
    public void OnlyFor(IReadOnlyCollection<string> waiting)
    {
        foreach (string runId in _ringing.Keys.Except(waiting))
        {
            Heard(runId);
        }
    }

    /// <summary>A worker has heard it.</summary>
    public void Heard(string runId) => _ringing.TryRemove(runId, out _);
}
