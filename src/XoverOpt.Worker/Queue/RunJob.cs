using System.Text;
using Hangfire;
using XoverOpt.Search;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>Works on one run when the bell rings for it.</summary>
/// <param name="store">The runs.</param>
/// <param name="bell">Is told that it was heard.</param>
/// <param name="own">Counts what this process works on.</param>
/// <param name="settings">Of the worker.</param>
/// <param name="clock">Of the worker.</param>
/// <param name="log">Of the worker.</param>
/// <param name="sharing">Lends trials to other processes; null where there are none.</param>
public sealed class RunJob(
    IRunStore store, Bell bell, OwnRuns own, WorkerSettings settings, TimeProvider clock, ILogger<RunJob> log, RunSharing? sharing = null)
{
    /// <summary>Attempts without a checkpoint in between after which a run is given up.</summary>
    public const int MaxAttempts = 5;

    // Progress is written to the store, so not as often as a screen would show it.
    private RunPace Pace => new() { Threads = settings.Threads, ProgressEvery = TimeSpan.FromSeconds(1), CheckpointEvery = settings.CheckpointEvery };

    /// <summary>Who works here, for people who look at the store.</summary>
    internal static readonly string Owner = $"{Environment.MachineName}/{Environment.ProcessId}";

    /// <summary>Works on the most urgent run that nobody holds, from the claim to its end.</summary>
    /// <param name="runId">The run that the bell rang for.</param>
    /// <param name="shutdown">The worker is going down.</param>
    [AutomaticRetry(Attempts = 0, OnAttemptsExceeded = AttemptsExceededAction.Delete)]
    public void Run(string runId, CancellationToken shutdown)
    {
        // Dying here loses a ring only: the reconciler of the next process rings for open runs that nobody holds. The bell only wakes:
        // the run it rang for is worked on unless a more urgent one waits, whose own bell may be far behind in the queue.
        bell.Heard(runId);
        if (store.Unheld().Select(waiting => store.TryClaim(waiting, Owner, settings.Lease)).FirstOrDefault(claimed => claimed is not null) is { } claim)
        {
            Work(claim, shutdown);
        }
    }

    /// <summary>Works on this run, if nobody holds it.</summary>
    internal void RunOnly(string runId, CancellationToken shutdown)
    {
        if (store.TryClaim(runId, Owner, settings.Lease) is { } claim)
        {
            Work(claim, shutdown);
        }
    }

    /// <summary>From the claim to the result. Each comment says what holds if the process dies right there.</summary>
    private void Work(RunClaim claim, CancellationToken shutdown)
    {
        string runId = claim.RunId;
        bell.Heard(runId);
        using IDisposable? scope = log.BeginScope("run {RunId}", runId);

        // From here on the run is ours until the lease runs out. Dying leaves it held: it is freed when the store is opened
        // next, or by the lease, and goes on from its last checkpoint. The claim has counted the attempt beforehand, so a run
        // that kills its worker is given up too, under a lease, since rescuing what was found may take longer than one lasts.
        using IDisposable inHand = own.Begin();
        using RunLease lease = new(store, claim, clock, log, settings.Lease);
        if (claim.Attempts > MaxAttempts)
        {
            GiveUp(claim, claim.Failure ?? "the worker died each time");
            return;
        }

        if (Sweep.Missed(claim) is { } missed)
        {
            store.Finish(runId, claim.Epoch, missed);
            log.LogWarning("Run {RunId}: {Failure}", runId, missed.Failure);
            return;
        }

        log.LogInformation("Run {RunId}: attempt {Attempt}, epoch {Epoch}, from checkpoint {Step}", runId, claim.Attempts, claim.Epoch, claim.Step);
        using var leave = CancellationTokenSource.CreateLinkedTokenSource(shutdown, lease.PauseAsked, lease.Lost);
        try
        {
            Problem problem = ReadJob(claim.Job, settings);

            // Dying while it searches repeats the work since the last checkpoint, bit for bit the same.
            SearchRecord record = new(store, claim, lease, problem, log);
            TrialLoan? loan = sharing is null ? null : new(sharing.Exchange, sharing.News, claim, problem, log);
            SearchResult result = record.Follow(Pace, clock, loan, lease.StopAsked, leave.Token);

            // The result and the end of the run are one transaction. Dying before it repeats the last stretch; after it the
            // run is ended and no ring finds it.
            RunOutcome outcome = record.Outcome(result);
            bool counted = store.Finish(runId, claim.Epoch, outcome);
            log.LogInformation("Run {RunId}: {State} ({Reason}), counted: {Counted}", runId, outcome.State, outcome.Reason, counted);
        }
        catch (OperationCanceledException) when (leave.IsCancellationRequested && lease.Failure is null)
        {
            // Going down or pausing in good order: the checkpoint is written, and another may go on at once. If the lease is lost
            // this changes nothing, by the epoch.
            store.Release(runId, claim.Epoch);
            log.LogInformation("Run {RunId}: left", runId);
        }
        catch (Exception thrown) when ((lease.Failure ?? thrown) is System.Data.Common.DbException or IOException)
        {
            // The store is away or its disk is full, which is no fault of the run: no attempt is counted against it, for however long.
            log.LogWarning("Run {RunId}: the store fails, trying again: {Failure}", runId, (lease.Failure ?? thrown).Message);
            GiveBack(claim);
        }
        catch (Exception thrown)
        {
            // Dying here is like dying while it searched. The failure is kept for whoever asks why.
            Exception failure = lease.Failure ?? thrown;
            log.LogError(failure, "Run {RunId}: attempt {Attempt} failed", runId, claim.Attempts);

            // Read again, since a checkpoint after the claim has wiped out the attempts before it.
            int attempts = store.Find(runId)?.Attempts ?? claim.Attempts;
            if (lease.StopAsked.IsCancellationRequested)
            {
                // Nobody waits for another attempt.
                store.Finish(runId, claim.Epoch, new RunOutcome(RunState.Stopped, ResultFile.Word(StopReason.Stopped), failure.Message, null, null, Salvage(claim)));
            }
            else if (attempts >= MaxAttempts)
            {
                GiveUp(claim, failure.Message);
            }
            else
            {
                store.ReleaseFailed(runId, claim.Epoch, failure.Message, TimeSpan.FromSeconds(1 << attempts));
            }
        }
    }

    /// <summary>The problem of a stored job.</summary>
    /// <exception cref="InvalidDataException">It can no longer be read.</exception>
    internal static Problem ReadJob(string job, WorkerSettings settings)
    {
        Reading<JobDocument> reading = JobFile.ReadPosted(Encoding.UTF8.GetBytes(job), settings.InventoryRoot);
        return reading.IsGood
            ? reading.Value.Problem
            : throw new InvalidDataException("the job can no longer be read: " + string.Join("; ", reading.Faults.Select(fault => fault.Message)));
    }

    /// <summary>Gives a run back where the store lets it; where not, its lease runs out.</summary>
    private void GiveBack(RunClaim claim)
    {
        try
        {
            store.Release(claim.RunId, claim.Epoch);
        }
        catch (Exception failure) when (failure is System.Data.Common.DbException or IOException)
        {
            log.LogWarning("Run {RunId}: left to its lease: {Failure}", claim.RunId, failure.Message);
        }
    }

    private void GiveUp(RunClaim claim, string failure)
    {
        log.LogError("Run {RunId}: given up after {Attempts} attempts: {Failure}", claim.RunId, MaxAttempts, failure);
        store.Finish(
            claim.RunId,
            claim.Epoch,
            new RunOutcome(RunState.Failed, null, $"given up after {MaxAttempts} attempts that got nowhere: {failure}", null, null, Salvage(claim)));
    }

    /// <summary>What was found up to the last checkpoint; null if there is nothing to be had.</summary>
    private IReadOnlyList<StoredBuild>? Salvage(RunClaim claim)
    {
        // One claim more than the last attempt means that the process died over this, too.
        if (claim.Checkpoint is null || claim.Attempts > MaxAttempts + 1)
        {
            return null;
        }

        try
        {
            Problem problem = ReadJob(claim.Job, settings);
            if (RunCheckpoint.FromBytes(claim.Checkpoint, problem, out string? mismatch) is not { } checkpoint)
            {
                log.LogWarning("Run {RunId}: keeps the builds it has, its checkpoint cannot be used: {Mismatch}", claim.RunId, mismatch);
                return null;
            }

            SearchRun run = new(problem, checkpoint, Pace, clock);
            return FoundBuilds.Write(run.Run(stop: new CancellationToken(canceled: true)), problem);
        }
        catch (Exception failure)
        {
            log.LogError(failure, "Run {RunId}: nothing could be made of its last checkpoint", claim.RunId);
            return null;
        }
    }
}
