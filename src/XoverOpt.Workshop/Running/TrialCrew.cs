using System.Runtime.ExceptionServices;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>
/// Threads that evaluate the outstanding batches of a search, trial by trial, the oldest batch first: where its last trials are under
/// way, whoever is free begins the next batch. Each result goes to its trial's place, so that what is told does not depend on who was
/// first. The last trials of a batch may be lent to other workers; those that are not back when there is nothing else to do are evaluated
/// here too, which gives the same results. A trial whose batch is dropped is broken off.
/// </summary>
internal sealed class TrialCrew : IDisposable
{
    private readonly object _gate = new();
    private readonly Func<Trial, CancellationToken, TrialResult> _evaluate;
    private readonly TimeProvider _clock;
    private readonly Thread[] _threads;
    private List<Part> _parts = [];
    private ExceptionDispatchInfo? _failure;
    private bool _over;
    private TimeSpan _evaluating;

    /// <summary>Starts the threads; there is nothing to do for them yet.</summary>
    public TrialCrew(Func<Trial, CancellationToken, TrialResult> evaluate, int threads, TimeProvider clock)
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

    /// <summary>Works on these batches from now on, oldest first. What is done of them stays; what is not among them is dropped.</summary>
    /// <param name="outstanding">The batches.</param>
    /// <param name="lend">Of a batch that is new, how many of its last trials are lent; none where left out.</param>
    public void WorkOn(IReadOnlyList<Batch> outstanding, Func<Batch, int>? lend = null)
    {
        lock (_gate)
        {
            List<Part> before = _parts;
            _parts = [.. outstanding.Select(batch => before.Find(part => ReferenceEquals(part.Batch, batch)) ?? new Part(batch, lend?.Invoke(batch) ?? 0))];
            before.Except(_parts).ToList().ForEach(part => part.Dispose());
            Monitor.PulseAll(_gate);
        }
    }

    /// <summary>Takes results of lent trials.</summary>
    /// <param name="batch">The batch.</param>
    /// <param name="first">Place of the first of these trials.</param>
    /// <param name="results">Their results, in order.</param>
    /// <returns>How many were still wanted.</returns>
    public int TakeBack(Batch batch, int first, IReadOnlyList<TrialResult> results)
    {
        lock (_gate)
        {
            return _parts.Find(part => ReferenceEquals(part.Batch, batch)) is { } part
                ? Enumerable.Range(0, results.Count).Count(i => Put(part, first + i, results[i]))
                : 0;
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

    /// <summary>Breaks off the trials under way and ends the threads.</summary>
    public void Dispose()
    {
        lock (_gate)
        {
            _over = true;
            _parts.ForEach(part => part.Dispose());
            _parts = [];
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
                TrialResult result = _evaluate(part.Batch.Trials[index], part.Dropped);
                RunMeter.Evaluations.Add(result.Evaluations);
                lock (_gate)
                {
                    _evaluating += _clock.GetElapsedTime(begun);
                    Put(part, index, result);
                }
            }
            catch (OperationCanceledException) when (part.Dropped.IsCancellationRequested)
            {
                // Nobody waits for it.
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

    /// <summary>Waits for a trial that is to be begun; null when it is over.</summary>
    private (Part Part, int Index)? Next()
    {
        lock (_gate)
        {
            while (!_over)
            {
                if (_parts.Find(part => part.Begun < part.Own) is { } own)
                {
                    return (own, own.Begun++);
                }

                // Nothing but lent trials is left. The last ones are the least likely to be in anybody's hands.
                foreach (Part part in _parts)
                {
                    while (part.Recalled > part.Own)
                    {
                        if (part.Results[--part.Recalled] is null)
                        {
                            return (part, part.Recalled);
                        }
                    }
                }

                Monitor.Wait(_gate);
            }

            return null;
        }
    }

    /// <summary>Whether the result was not there yet.</summary>
    private bool Put(Part part, int index, TrialResult result)
    {
        bool wanted = part.Results[index] is null;
        part.Results[index] = result;
        if (wanted && --part.Left == 0)
        {
            Monitor.PulseAll(_gate);
        }

        return wanted;
    }

    private sealed class Part : IDisposable
    {
        private readonly CancellationTokenSource _drop = new();

        public Part(Batch batch, int lent)
        {
            Batch = batch;
            Results = new TrialResult[batch.Trials.Count];
            Own = batch.Trials.Count - lent;
            Recalled = Left = batch.Trials.Count;
            Dropped = _drop.Token;
        }

        public Batch Batch { get; }

        public TrialResult[] Results { get; }

        /// <summary>Trials before this one are not lent.</summary>
        public int Own { get; }

        /// <summary>How many of those were begun.</summary>
        public int Begun { get; set; }

        /// <summary>Lent trials from this one on were begun here all the same, or are back.</summary>
        public int Recalled { get; set; }

        public int Left { get; set; }

        /// <summary>Nobody waits for what is under way.</summary>
        public CancellationToken Dropped { get; }

        public void Dispose()
        {
            _drop.Cancel();
            _drop.Dispose();
        }
    }
}
