using System.Collections.Concurrent;
using Hangfire;

namespace XoverOpt.Worker.Queue;

/// <summary>
/// Wakes a worker for a run. The queue carries the run's id and nothing else: a bell that rings twice finds nothing to claim,
/// one that is lost is rung again by the <see cref="Reconciler"/>.
/// </summary>
public sealed class Bell(IBackgroundJobClient queue)
{
    private readonly ConcurrentDictionary<string, bool> _ringing = new();

    /// <summary>Rings, unless it rings already.</summary>
    public void Ring(string runId)
    {
        if (_ringing.TryAdd(runId, true))
        {
            queue.Enqueue<RunJob>(job => job.Run(runId, CancellationToken.None));
        }
    }

    /// <summary>A worker has heard it.</summary>
    public void Heard(string runId) => _ringing.TryRemove(runId, out _);
}
