using System.Runtime.ExceptionServices;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>
/// Threads that evaluate the outstanding batches of a search, trial by trial, the oldest batch first: where its last trials are under
/// way, whoever is free begins the next batch. Each result goes to its trial's place, so that what is told does not depend on who was
/// first.
/// </summary>
internal sealed class TrialCrew : IDisposable
{
    private readonly object _gate = new();
    private readonly Func<Trial, TrialResult> _evaluate;
    private readonly TimeProvider _clock;
    private readonly Thread[] _threads;
    private List<Part> _parts = [];
    private ExceptionDispatchInfo? _failure;
    private bool _over;
    private TimeSpan _evaluating;

    /// <summary>Starts the threads; there is nothing to do for them yet.</summary>
    public TrialCrew(Func<Trial, TrialResult> evaluate, int threads, TimeProvider clock)
    {
        _evaluate = evaluate;
        _clock = clock;
        _threads = [.. Enumerable.Range(1, threads).Select(number => new Thread(Evaluate) { IsBackground = true, Name = $"trials {number}" })];
        Array.ForEach(_threads, thread => thread.Start());
    }

    /// <summary>Time that all threads together spent on evaluation.</summary>
    public TimeSpan Evaluating
    {
        get
        {
            lock (_gate)
            {
                return _evaluating;
            }
        }
    }

    /// <summary>Works on these batches from now on, oldest first. What is done of them stays; what is not among them is dropped between two trials.</summary>
    public void WorkOn(IReadOnlyList<Batch> outstanding)
    {
        lock (_gate)
        {
            _parts = [.. outstanding.Select(batch => _parts.Find(part => ReferenceEquals(part.Batch, batch)) ?? new Part(batch))];
            Monitor.PulseAll(_gate);
        }
    }

    /// <summary>The results of the oldest batch, in its order; null if they are not all there within this time.</summary>
    /// <remarks>What a trial throws is thrown here.</remarks>
    public IReadOnlyList<TrialResult>? Oldest(TimeSpan wait)
    {
        lock (_gate)
        {
            if (_failure is null && _parts is [{ Left: > 0 }, ..])
            {
                Monitor.Wait(_gate, wait);
            }

            _failure?.Throw();
            return _parts is [{ Left: 0 } oldest, ..] ? oldest.Results : null;
        }
    }

    /// <summary>Waits for the trials under way and ends the threads.</summary>
    public void Dispose()
    {
        lock (_gate)
        {
            _over = true;
            Monitor.PulseAll(_gate);
        }

        Array.ForEach(_threads, thread => thread.Join());
    }

    private void Evaluate()
    {
        while (Next() is var (part, index))
        {
            long begun = _clock.GetTimestamp();
            try
            {
                TrialResult result = _evaluate(part.Batch.Trials[index]);
                RunMeter.Evaluations.Add(result.Evaluations);
                Put(part, index, result, begun);
            }
            catch (Exception failure)
            {
                // Let out of this thread it would end the process.
                lock (_gate)
                {
                    _failure ??= ExceptionDispatchInfo.Capture(failure);
                    Monitor.PulseAll(_gate);
                }
            }
        }
    }

    /// <summary>Waits for a trial that nobody has begun; null when it is over.</summary>
    private (Part Part, int Index)? Next()
    {
        lock (_gate)
        {
            while (!_over)
            {
                if (_parts.Find(part => part.Begun < part.Results.Length) is { } free)
                {
                    return (free, free.Begun++);
                }

                Monitor.Wait(_gate);
            }

            return null;
        }
    }

    private void Put(Part part, int index, TrialResult result, long begun)
    {
        lock (_gate)
        {
            _evaluating += _clock.GetElapsedTime(begun);
            part.Results[index] = result;
            if (--part.Left == 0)
            {
                Monitor.PulseAll(_gate);
            }
        }
    }

    private sealed class Part(Batch batch)
    {
        public Batch Batch { get; } = batch;

        public TrialResult[] Results { get; } = new TrialResult[batch.Trials.Count];

        public int Begun { get; set; }

        public int Left { get; set; } = batch.Trials.Count;
    }
}
