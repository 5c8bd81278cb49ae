using System.Text.Json;
using XoverOpt.Search;
using XoverOpt.Worker.Api;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>Writes down how a claimed run goes: progress, checkpoints, the best so far, the outcome.</summary>
internal sealed class SearchRecord(IRunStore store, RunClaim claim, RunLease lease, Problem problem, ILogger log)
{
    // Further off no run goes on; and the sum with the time of day stays in its range.
    private static readonly TimeSpan Never = TimeSpan.FromDays(36_500);

    private long _step = claim.Step;
    private string _progress = "";
    private string _bestSoFar = "";

    /// <summary>Searches, from the last checkpoint if there is one that fits.</summary>
    public SearchResult Follow(RunPace pace, TimeProvider clock, TrialLoan? loan, CancellationToken stop, CancellationToken leave)
    {
        SearchRun? run = null;
        void OnCheckpoint(RunCheckpoint checkpoint) => Save(checkpoint, run!);
        string? mismatch = null;
        RunCheckpoint? from = claim.Checkpoint is { } bytes ? RunCheckpoint.FromBytes(bytes, problem, out mismatch) : null;
        if (mismatch is not null)
        {
            log.LogWarning("Run {RunId}: starts over, its checkpoint cannot be used: {Mismatch}", claim.RunId, mismatch);
            lease.Heed(store.DropCheckpoint(claim.RunId, claim.Epoch, $"starts over, its checkpoint cannot be used: {mismatch}"));
        }

        // By the clock of the store, which all hosts see alike, carried over to this host's.
        DateTimeOffset? deadline = claim.UntilDeadline < Never ? clock.GetUtcNow() + claim.UntilDeadline : null;
        run = from is not null
            ? new SearchRun(problem, from, pace, clock) { OnProgress = Report, OnCheckpoint = OnCheckpoint, Loan = loan, Deadline = deadline }
            : new SearchRun(problem, pace, clock) { OnProgress = Report, OnCheckpoint = OnCheckpoint, Loan = loan, Deadline = deadline };
        return run.Run(stop, leave);
    }

    /// <summary>How the run ended.</summary>
    public RunOutcome Outcome(SearchResult result) => new(
        result.Reason == StopReason.Stopped ? RunState.Stopped : result.Builds.Count == 0 ? RunState.Failed : RunState.Done,
        ResultFile.Word(result.Reason),
        RunVerdict.Complaint(result),
        _progress,
        ResultFile.Write(result, problem, BuildFile.ProgramVersion),
        Found(result));

    // A run that started over and was stopped before it found anything keeps the builds it had.
    private IReadOnlyList<StoredBuild>? Found(SearchResult result) => result.Builds.Count == 0 ? null : FoundBuilds.Write(result, problem);

    private void Report(RunProgress progress)
    {
        _progress = JsonSerializer.Serialize(ProgressView.Of(progress), ApiJson.Options);
        lease.Heed(store.SaveProgress(claim.RunId, claim.Epoch, _progress));
    }

    private void Save(RunCheckpoint checkpoint, SearchRun run)
    {
        // Without a lease this would wipe out the attempts however little was done, and the run would be tried for ever.
        if (lease.Failure is not null)
        {
            return;
        }

        // The builds are written out only when the list has changed.
        SearchResult found = run.SoFar;
        string best = string.Join('\n', found.Builds.Select(build => build.Key));
        IReadOnlyList<StoredBuild>? builds = best == _bestSoFar ? null : Found(found);
        _bestSoFar = best;
        lease.Heed(store.SaveCheckpoint(claim.RunId, claim.Epoch, _step, checkpoint.ToBytes(), _progress, builds));
        _step++;
    }
}
