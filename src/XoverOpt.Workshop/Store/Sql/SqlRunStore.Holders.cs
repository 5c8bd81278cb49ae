namespace XoverOpt.Workshop.Store.Sql;

/// <summary>What the holders of runs do: claim, keep, save, end, give back. Every write names the epoch.</summary>
internal sealed partial class SqlRunStore
{
    // A lease that ends later than any lease given now could was given before the clock was put back: it would keep a dead holder's run
    // for as long as the clock jumped. A living holder is safe, it renews before this long is over.
    private const string Free =
        """
        (owner is null or lease_until < now_ms() or lease_until > now_ms() + 2 * lease_ms) and not_before <= now_ms()
        and (stop_requested = 1 or not exists (select 1 from worker_pause))
        """;

    private const string GivenBack = "owner = null, lease_until = null, state = case when stop_requested = 1 then 'stopping' else 'waiting' end";
    private const string Mine = $"id = @runId and epoch = @epoch and {Open}";
    private const string Signal = "case when stop_requested = 1 then 1 when exists (select 1 from worker_pause) then 2 else 0 end";

    /// <inheritdoc/>
    public IReadOnlyList<string> Unheld() =>
        database.Many<string>($"select id from runs where {Open} and {Free} order by priority desc, created_at, id");

    /// <inheritdoc/>
    public RunClaim? TryClaim(string runId, string owner, TimeSpan lease)
    {
        using StoreWrite write = database.Write();
        if (write.One<HolderRow>($"select owner as Owner from runs where id = @runId and {Open} and {Free} {database.ForUpdate}", new { runId }) is not { } before)
        {
            return null;
        }

        ClaimRow row = write.One<ClaimRow>(
            """
            update runs set owner = @owner, epoch = epoch + 1, lease_until = now_ms() + @lease, lease_ms = @lease, attempts = attempts + 1,
                state = case when stop_requested = 1 then 'stopping' else 'running' end, started_at = coalesce(started_at, now_ms())
            where id = @runId
            returning epoch as Epoch, step as Step, attempts as Attempts, failure as Failure, deadline as Deadline, now_ms() as Now, state as State
            """,
            new { runId, owner, lease = StoreTime.Of(lease) })!;
        string job = write.One<JobRow>(JobSql, new { runId })!.Whole();
        byte[]? checkpoint = write.One<byte[]>("select state from checkpoints where run_id = @runId", new { runId });
        if (before.Owner is { } silent)
        {
            write.Event(runId, EventKind.Takeover, ("from", silent));
        }

        write.Event(runId, EventKind.State, ("state", row.State), ("owner", owner), ("attempt", row.Attempts));
        write.Commit();
        return new RunClaim
        {
            RunId = runId,
            Epoch = row.Epoch,
            Step = row.Step,
            Attempts = row.Attempts,
            Job = job,
            Failure = row.Failure,
            Deadline = StoreTime.Of(row.Deadline),
            UntilDeadline = row.Deadline is { } deadline ? TimeSpan.FromMilliseconds(deadline - row.Now) : null,
            StopAsked = row.State == RunStateText.Of(RunState.Stopping),
            Checkpoint = checkpoint,
        };
    }

    /// <inheritdoc/>
    public LeaseSignal Renew(string runId, long epoch, TimeSpan lease) => SignalOf(database.One<long?>(
        $"update runs set lease_until = now_ms() + @lease, lease_ms = @lease where {Mine} returning {Signal}",
        new { runId, epoch, lease = StoreTime.Of(lease) }));

    /// <inheritdoc/>
    public LeaseSignal Look(string runId, long epoch) =>
        SignalOf(database.One<long?>($"select {Signal} from runs where {Mine}", new { runId, epoch }));

    /// <inheritdoc/>
    public bool SaveProgress(string runId, long epoch, string progress)
    {
        using StoreWrite write = database.Write();
        if (write.Execute($"update runs set progress = @progress where {Mine}", new { runId, epoch, progress }) == 0)
        {
            return false;
        }

        write.Event(runId, EventKind.Progress, progress);
        write.Commit();
        return true;
    }

    /// <inheritdoc/>
    public bool SaveCheckpoint(string runId, long epoch, long expectedStep, byte[] checkpoint, string progress, IReadOnlyList<StoredBuild>? builds)
    {
        using StoreWrite write = database.Write();
        if (write.Execute(
            $"update runs set step = step + 1, attempts = 0, progress = @progress where {Mine} and step = @expectedStep",
            new { runId, epoch, expectedStep, progress }) == 0)
        {
            return false;
        }

        long step = expectedStep + 1;
        write.Execute(
            """
            insert into checkpoints (run_id, step, state) values (@runId, @step, @checkpoint)
            on conflict (run_id) do update set step = excluded.step, state = excluded.state
            """,
            new { runId, step, checkpoint });
        if (builds is not null)
        {
            Replace(write, runId, builds);
            write.Event(
                runId, EventKind.Best, ("checkpoint", step), ("builds", builds.Count), ("cost", builds.Count > 0 ? builds.Min(build => build.Cost) : null));
        }

        write.Commit();
        return true;
    }

    /// <inheritdoc/>
    public bool DropCheckpoint(string runId, long epoch, string reason)
    {
        using StoreWrite write = database.Write();
        if (write.One<string>($"select id from runs where {Mine} {database.ForUpdate}", new { runId, epoch }) is null)
        {
            return false;
        }

        write.Execute("delete from checkpoints where run_id = @runId", new { runId });
        write.Event(runId, EventKind.Failure, ("failure", reason));
        write.Commit();
        return true;
    }

    /// <inheritdoc/>
    public bool Finish(string runId, long epoch, RunOutcome outcome)
    {
        using StoreWrite write = database.Write();
        string state = RunStateText.Of(outcome.State);
        if (write.Execute(
            $"""
            update runs set state = @state, reason = @Reason, failure = @Failure, progress = coalesce(@Progress, progress), result = @Result,
                ended_at = now_ms(), owner = null, lease_until = null
            where {Mine}
            """,
            new { runId, epoch, state, outcome.Reason, outcome.Failure, outcome.Progress, outcome.Result }) == 0)
        {
            return false;
        }

        write.Execute("delete from checkpoints where run_id = @runId", new { runId });
        if (outcome.Builds is { } builds)
        {
            Replace(write, runId, builds);
        }

        database.DropShards(write, runId);
        write.Event(runId, EventKind.State, ("state", state), ("reason", outcome.Reason), ("failure", outcome.Failure));
        PutNotice(write, runId);
        write.Commit();
        return true;
    }

    /// <inheritdoc/>
    public bool Release(string runId, long epoch) =>
        GiveBack(runId, epoch, "attempts = case when attempts > 0 then attempts - 1 else 0 end", null, TimeSpan.Zero);

    /// <inheritdoc/>
    public bool ReleaseFailed(string runId, long epoch, string failure, TimeSpan tryAgainAfter) =>
        GiveBack(runId, epoch, "failure = @failure, not_before = now_ms() + @wait", failure, tryAgainAfter);

    private bool GiveBack(string runId, long epoch, string changes, string? failure, TimeSpan wait)
    {
        using StoreWrite write = database.Write();
        if (write.One<string>(
            $"update runs set {GivenBack}, {changes} where {Mine} returning state", new { runId, epoch, failure, wait = StoreTime.Of(wait) }) is not { } state)
        {
            return false;
        }

        if (failure is not null)
        {
            write.Event(runId, EventKind.Failure, ("failure", failure));
        }

        write.Event(runId, EventKind.State, ("state", state));
        write.Tell(NewsTopic.Work);
        write.Commit();
        return true;
    }

    /// <summary>Gives back every run that is held: for a database whose holders are all gone.</summary>
    public void FreeAll()
    {
        using StoreWrite write = database.Write();
        foreach (string runId in write.Many<string>($"select id from runs where {Open} and owner is not null"))
        {
            string owner = write.One<string>("select owner from runs where id = @runId", new { runId })!;
            string state = write.One<string>($"update runs set {GivenBack} where id = @runId returning state", new { runId })!;
            write.Event(runId, EventKind.Takeover, ("from", owner));
            write.Event(runId, EventKind.State, ("state", state));
        }

        write.Commit();
    }

    private static LeaseSignal SignalOf(long? signal) => signal switch
    {
        null => LeaseSignal.Lost,
        0 => LeaseSignal.Held,
        1 => LeaseSignal.StopAsked,
        _ => LeaseSignal.PauseAsked,
    };

    /// <summary>New builds in the place of the old; their uses of parts go and come with them.</summary>
    private static void Replace(StoreWrite write, string runId, IReadOnlyList<StoredBuild> builds)
    {
        write.Execute("delete from builds where run_id = @runId", new { runId });
        write.Execute(
            "insert into builds (run_id, rank, cost, json) values (@runId, @Rank, @Cost, @Json)",
            builds.Select(build => new { runId, build.Rank, build.Cost, build.Json }));
        write.Execute(SqlPartUses.InsertSql, builds.SelectMany(build => SqlPartUses.Rows(runId, build.Rank, build.Json)));
    }

    private sealed class HolderRow
    {
        public string? Owner { get; init; }
    }
}
