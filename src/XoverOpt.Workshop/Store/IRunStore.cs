namespace XoverOpt.Workshop.Store;

/// <summary>
/// The runs, which are the truth about what is to be done and what was found; the queue only wakes. A queue that delivers twice,
/// late or never can neither lose nor double a run: <see cref="TryClaim"/> lets one worker in, and every write of that worker
/// names its epoch and says whether it counted. Safe from many threads.
/// </summary>
public interface IRunStore
{
    /// <summary>Keeps a run. When this returns, the run will be worked on whatever happens to this process.</summary>
    Submission Submit(NewRun run, IdempotencyKey? key = null);

    /// <summary>What came of the request that first used a key; null if none did.</summary>
    Submission? Known(IdempotencyKey key);

    /// <summary>A run; null if there is none of that id.</summary>
    RunRecord? Find(string runId);

    /// <summary>Runs, newest first.</summary>
    /// <param name="state">Only those in this state; null for all.</param>
    /// <param name="after">Begin after this run; null for the newest.</param>
    /// <param name="take">At most this many.</param>
    IReadOnlyList<RunRecord> List(RunState? state, string? after, int take);

    /// <summary>The job of a run, self-contained JSON; null if there is no such run.</summary>
    string? Job(string runId);

    /// <summary>The builds of a run, best first; the best so far while it runs.</summary>
    IReadOnlyList<StoredBuild> Builds(string runId);

    /// <summary>One build; null if there is none of that rank.</summary>
    StoredBuild? Build(string runId, int rank);

    /// <summary>Asks a run to stop: ends it if nobody holds it and nothing is kept of it that a result could be made of. False if there is no such run or it has ended.</summary>
    bool AskToStop(string runId);

    /// <summary>Deletes a run that has ended, with all its data and the marks of the requests that made it.</summary>
    Deletion Delete(string runId);

    /// <summary>Deletes the runs that ended longer ago than this; those whose notice is still due stay.</summary>
    /// <returns>How many.</returns>
    int Purge(TimeSpan endedFor);

    /// <summary>Waiting runs of which nothing is kept but the job, and whose deadline has passed.</summary>
    IReadOnlyList<string> Overdue();

    /// <summary>Changes how urgent an open run is. False if there is no such run or it has ended.</summary>
    bool SetPriority(string runId, int priority);

    /// <summary>Takes an open run that nobody holds and that is due: raises the epoch and starts the lease. Null if it is not to be had.</summary>
    RunClaim? TryClaim(string runId, string owner, TimeSpan lease);

    /// <summary>Makes the lease run from now.</summary>
    LeaseSignal Renew(string runId, long epoch, TimeSpan lease);

    /// <summary>Whether the lease is still held and whether a stop was asked for.</summary>
    LeaseSignal Look(string runId, long epoch);

    /// <summary>Keeps the progress, JSON. False: lost.</summary>
    bool SaveProgress(string runId, long epoch, string progress);

    /// <summary>
    /// Keeps a checkpoint and the best so far (null: no change), all or nothing, if <paramref name="expectedStep"/> is the number of checkpoints so far;
    /// what came before this no longer counts as a failed attempt. False: lost.
    /// </summary>
    bool SaveCheckpoint(string runId, long epoch, long expectedStep, byte[] checkpoint, string progress, IReadOnlyList<StoredBuild>? builds);

    /// <summary>Drops a checkpoint that cannot be used, and says so among the events. False: lost.</summary>
    bool DropCheckpoint(string runId, long epoch, string reason);

    /// <summary>Ends the run and keeps what was found, all or nothing. False: lost.</summary>
    bool Finish(string runId, long epoch, RunOutcome outcome);

    /// <summary>Gives the run back in good order: it waits, and another may take it at once. False: lost.</summary>
    bool Release(string runId, long epoch);

    /// <summary>Gives the run back after a failure: it waits, to be tried again after a while. False: lost.</summary>
    bool ReleaseFailed(string runId, long epoch, string failure, TimeSpan tryAgainAfter);

    /// <summary>Open runs that are due and that nobody holds, by priority, then oldest first; while the worker is paused only those asked to stop.</summary>
    IReadOnlyList<string> Unheld();

    /// <summary>Runs in each state.</summary>
    IReadOnlyDictionary<RunState, int> Count();
}
