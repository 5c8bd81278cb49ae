using Microsoft.Extensions.Logging;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Running;

/// <summary>
/// Keeps the lease of a claimed run alive from a thread of its own, so that busy evaluation threads cannot starve it, and
/// turns what the store says into tokens: stop was asked, the worker is paused, or the lease is lost.
/// </summary>
public sealed class RunLease : IDisposable
{
    /// <summary>How long a worker that fell silent usually keeps a run from others.</summary>
    public static readonly TimeSpan Usual = TimeSpan.FromSeconds(30);

    // A stop has to show within a second; looking costs one indexed read.
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(100);

    private readonly IRunStore _store;
    private readonly RunClaim _claim;
    private readonly TimeProvider _clock;
    private readonly ILogger _log;
    private readonly TimeSpan _length;
    private readonly CancellationTokenSource _stop = new();
    private readonly CancellationTokenSource _pause = new();
    private readonly CancellationTokenSource _lost = new();
    private readonly ManualResetEventSlim _end = new();
    private readonly long _begun;
    private readonly Thread _thread;
    private int _losses;

    /// <summary>Starts keeping the lease.</summary>
    /// <param name="store">Where the run is.</param>
    /// <param name="claim">The claim that was made.</param>
    /// <param name="clock">Tells when to renew.</param>
    /// <param name="log">Takes what goes wrong.</param>
    /// <param name="length">What the claim was made for.</param>
    public RunLease(IRunStore store, RunClaim claim, TimeProvider clock, ILogger log, TimeSpan length)
    {
        _length = length;
        _store = store;
        _claim = claim;
        _clock = clock;
        _log = log;
        // Not when the thread comes to run, which on a busy machine may be late.
        _begun = clock.GetTimestamp();
        if (claim.StopAsked)
        {
            _stop.Cancel();
        }

        _thread = new Thread(Keep) { IsBackground = true, Name = $"lease of {claim.RunId}", Priority = ThreadPriority.AboveNormal };
        _thread.Start();
    }

    /// <summary>A stop was asked for.</summary>
    public CancellationToken StopAsked => _stop.Token;

    /// <summary>The whole worker is paused: the run is to be given back in good order.</summary>
    public CancellationToken PauseAsked => _pause.Token;

    /// <summary>The run ended or is another's, or the lease can no longer be kept.</summary>
    public CancellationToken Lost => _lost.Token;

    /// <summary>Why the lease could no longer be kept; null if it could.</summary>
    public Exception? Failure { get; private set; }

    /// <summary>Says whether a write counted; one that did not means the lease is lost.</summary>
    public void Heed(bool counted)
    {
        if (!counted)
        {
            Lose();
        }
    }

    /// <summary>Lets the lease run out by itself; the run is given back or finished through the store.</summary>
    public void Dispose()
    {
        _end.Set();
        _thread.Join();
        _end.Dispose();
        _stop.Dispose();
        _pause.Dispose();
        _lost.Dispose();
    }

    private void Lose()
    {
        if (Interlocked.Exchange(ref _losses, 1) == 0)
        {
            RunMeter.LeaseLosses.Add(1);
        }

        _lost.Cancel();
    }

    private void Keep()
    {
        long renewed = _begun;
        do
        {
            try
            {
                bool due = _clock.GetElapsedTime(renewed) >= _length / 3;
                LeaseSignal signal = due
                    ? _store.Renew(_claim.RunId, _claim.Epoch, _length)
                    : _store.Look(_claim.RunId, _claim.Epoch);
                renewed = due ? _clock.GetTimestamp() : renewed;

                if (signal == LeaseSignal.Lost)
                {
                    Lose();
                    return;
                }

                if (signal == LeaseSignal.StopAsked)
                {
                    _stop.Cancel();
                }
                else if (signal == LeaseSignal.PauseAsked)
                {
                    _pause.Cancel();
                }
            }
            catch (Exception failure) when (failure is System.Data.Common.DbException or IOException)
            {
                // The store may be away for a moment. If it stays away the lease runs out, another takes over,
                // and the fence keeps whatever this worker still writes from counting.
                _log.LogWarning("Run {RunId}: the lease could not be renewed: {Failure}", _claim.RunId, failure.Message);
            }
            catch (Exception failure)
            {
                // Nothing that would pass by itself. Let out of this thread it would end the process and every other run with it.
                _log.LogError(failure, "Run {RunId}: the lease can no longer be kept", _claim.RunId);
                Failure = failure;
                Lose();
                return;
            }
        }
        while (!_end.Wait(LookEvery));
    }
}
