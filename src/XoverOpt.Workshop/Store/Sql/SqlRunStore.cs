using System.Globalization;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Store.Sql;

/// <summary>The runs, in a database: handing in, looking up, stopping, deleting. The other half is what their holders do.</summary>
internal sealed partial class SqlRunStore(Database database) : IRunStore
{
    private const string Open = "state in ('waiting', 'running', 'stopping')";
    internal const string Closed = "state in ('done', 'stopped', 'failed')";

    /// <inheritdoc/>
    public Submission Submit(NewRun run, IdempotencyKey? key = null)
    {
        if (key is not null && Known(key) is { } known)
        {
            return known;
        }

        JobText job = JobText.Cut(run.Job);
        JobSchedule schedule = run.Schedule ?? new JobSchedule();
        using StoreWrite write = database.Write();
        long now = write.One<long>("select now_ms()");
        string id = Guid.CreateVersion7(StoreTime.Of(now)).ToString();
        if (job.Inventory is not null)
        {
            // An update that changes nothing holds the row until the run refers to it.
            write.Execute(
                "insert into inventories (hash, json, created_at) values (@Key, @Inventory, @now) on conflict (hash) do update set hash = excluded.hash",
                new { job.Key, job.Inventory, now });
        }

        write.Execute(
            """
            insert into runs (id, name, state, job, inventory_key, inventory_at, job_hash, inventory_hash, seed, program_version, created_at,
                priority, not_before, deadline, notify)
            values (@id, @Name, 'waiting', @Rest, @Key, @At, @JobHash, @InventoryHash, @seed, @ProgramVersion, @now,
                @Priority, @notBefore, @deadline, @Notify)
            """,
            new
            {
                id,
                run.Name,
                job.Rest,
                job.Key,
                job.At,
                run.JobHash,
                run.InventoryHash,
                seed = run.Seed.ToString(CultureInfo.InvariantCulture),
                run.ProgramVersion,
                now,
                schedule.Priority,
                notBefore = StoreTime.Of(schedule.NotBefore) ?? 0,
                deadline = StoreTime.Of(schedule.Deadline),
                run.Notify,
            });
        if (key is not null && write.Execute(
            "insert into idempotency_keys (key, request_hash, run_id, created_at) values (@Key, @RequestHash, @id, @now) on conflict (key) do nothing",
            new { key.Key, key.RequestHash, id, now }) == 0)
        {
            // Another request with this key came first. Its row is there to be seen: the insertion waited for its commit.
            return Known(write.One<KeyRow>(KnownSql, key), key)!;
        }

        write.Event(id, EventKind.State, ("state", RunStateText.Of(RunState.Waiting)));
        write.Tell(NewsTopic.Work);
        write.Commit();
        return new Submission(SubmissionKind.Kept, id);
    }

    /// <inheritdoc/>
    public Submission? Known(IdempotencyKey key) => Known(database.One<KeyRow>(KnownSql, key), key);

    /// <inheritdoc/>
    public RunRecord? Find(string runId) =>
        database.One<RunRow>($"select {RunRow.Columns} from runs where id = @runId", new { runId })?.ToRecord();

    /// <inheritdoc/>
    public IReadOnlyList<RunRecord> List(RunState? state, string? after, int take) =>
        [.. database.Many<RunRow>(
            $"""
            select {RunRow.Columns} from runs
            where (@state is null or state = @state)
              and (@after is null or (created_at, id) < (select created_at, id from runs where id = @after))
            order by created_at desc, id desc limit @take
            """,
            new { state = state is { } one ? RunStateText.Of(one) : null, after, take }).Select(row => row.ToRecord())];

    /// <inheritdoc/>
    public string? Job(string runId) => database.One<JobRow>(JobSql, new { runId })?.Whole();

    /// <inheritdoc/>
    public IReadOnlyList<StoredBuild> Builds(string runId) =>
        [.. database.Many<BuildRow>("select rank, cost, json from builds where run_id = @runId order by rank", new { runId }).Select(row => row.ToBuild())];

    /// <inheritdoc/>
    public StoredBuild? Build(string runId, int rank) =>
        database.One<BuildRow>("select rank, cost, json from builds where run_id = @runId and rank = @rank", new { runId, rank })?.ToBuild();

    /// <inheritdoc/>
    public bool AskToStop(string runId)
    {
        using StoreWrite write = database.Write();
        string reason = ResultFile.Word(StopReason.Stopped);
        const string Nothing = "step = 0 and owner is null";
        if (write.One<string>(
            $"""
            update runs set stop_requested = 1, not_before = 0,
                state = case when {Nothing} then 'stopped' else 'stopping' end,
                reason = case when {Nothing} then @reason end,
                ended_at = case when {Nothing} then now_ms() end
            where id = @runId and {Open} returning state
            """,
            new { runId, reason }) is not { } state)
        {
            return false;
        }

        bool ended = state == RunStateText.Of(RunState.Stopped);
        write.Event(runId, EventKind.State, ("state", state), ("reason", ended ? reason : null));
        if (ended)
        {
            database.DropShards(write, runId);
            PutNotice(write, runId);
        }

        write.Tell(NewsTopic.Work);
        write.Commit();
        return true;
    }

    /// <inheritdoc/>
    public Deletion Delete(string runId)
    {
        using StoreWrite write = database.Write();
        if (write.Execute($"delete from runs where id = @runId and {Closed}", new { runId }) == 0)
        {
            return write.One<string>("select id from runs where id = @runId", new { runId }) is null ? Deletion.NoSuchRun : Deletion.StillOpen;
        }

        DropInventories(write);
        write.Tell(NewsTopic.Run(runId));
        write.Tell(NewsTopic.States);
        write.Commit();
        return Deletion.Deleted;
    }

    /// <inheritdoc/>
    public int Purge(TimeSpan endedFor)
    {
        using StoreWrite write = database.Write();
        int purged = write.Execute(
            $"""
            delete from runs where {Closed} and ended_at < now_ms() - @kept
                and not exists (select 1 from outbox where run_id = runs.id and next_at is not null)
            """,
            new { kept = StoreTime.Of(endedFor) });
        if (purged > 0)
        {
            DropInventories(write);
            write.Tell(NewsTopic.States);
        }

        write.Commit();
        return purged;
    }

    /// <inheritdoc/>
    public IReadOnlyList<string> Overdue() =>
        database.Many<string>("select id from runs where state = 'waiting' and step = 0 and deadline <= now_ms() order by created_at, id");

    /// <inheritdoc/>
    public bool SetPriority(string runId, int priority)
    {
        using StoreWrite write = database.Write();
        if (write.Execute($"update runs set priority = @priority where id = @runId and {Open}", new { runId, priority }) == 0)
        {
            return false;
        }

        write.Event(runId, EventKind.Priority, ("priority", priority));
        write.Commit();
        return true;
    }

    /// <inheritdoc/>
    public IReadOnlyDictionary<RunState, int> Count() =>
        database.Many<(string State, long Runs)>("select state, count(*) from runs group by state")
            .ToDictionary(row => RunStateText.Parse(row.State)!.Value, row => (int)row.Runs);

    private const string KnownSql = "select run_id as RunId, request_hash as RequestHash from idempotency_keys where key = @Key";

    private const string JobSql =
        """
        select runs.job as Rest, inventories.json as Inventory, runs.inventory_at as At
        from runs left join inventories on inventories.hash = runs.inventory_key where runs.id = @runId
        """;

    private static Submission? Known(KeyRow? row, IdempotencyKey key) =>
        row is null ? null : new Submission(row.RequestHash == key.RequestHash ? SubmissionKind.Known : SubmissionKind.KeyUsedOtherwise, row.RunId);

    private static void PutNotice(StoreWrite write, string runId)
    {
        if (write.Execute(
            "insert into outbox (run_id, url, next_at) select id, notify, now_ms() from runs where id = @runId and notify is not null", new { runId }) > 0)
        {
            write.Tell(NewsTopic.Outbox);
        }
    }

    // Held first, then looked at anew: a run handed in meanwhile holds its inventory until it is there to be seen, and one handed in
    // after this has to keep its inventory again.
    private void DropInventories(StoreWrite write)
    {
        string skipLocked = database.ForUpdate.Length == 0 ? "" : database.ForUpdate + " skip locked";
        const string Unused = "not exists (select 1 from runs where inventory_key = inventories.hash)";
        foreach (string hash in write.Many<string>($"select hash from inventories where {Unused} {skipLocked}"))
        {
            write.Execute($"delete from inventories where hash = @hash and {Unused}", new { hash });
        }
    }
}
