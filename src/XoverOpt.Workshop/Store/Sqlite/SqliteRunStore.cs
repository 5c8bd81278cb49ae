using System.Globalization;
using Dapper;
using Microsoft.Data.Sqlite;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Store.Sqlite;

/// <summary>
/// The runs in one SQLite file, for one process. Write-ahead log, full synchronisation: what a method has acknowledged survives
/// a power cut. Write transactions are immediate and short.
/// </summary>
public sealed class SqliteRunStore : IRunStore, IDisposable
{
    private const string Open = "state in ('waiting', 'running', 'stopping')";
    private const string Free = "(owner is null or lease_until < @now) and not_before <= @now";
    private const string GivenBack = "owner = null, lease_until = null, state = case when stop_requested = 1 then 'stopping' else 'waiting' end";
    private const string Mine = $"id = @runId and epoch = @epoch and {Open}";

    private readonly DataDirectory _directory;
    private readonly TimeProvider _clock;
    private readonly string _connectionString;

    /// <summary>Opens the store, making it if it is missing, and frees what a process that is gone still held.</summary>
    /// <param name="directory">Where it lives; the store closes it.</param>
    /// <param name="clock">Tells the time for leases and records.</param>
    /// <exception cref="StoreException">The file is not a store, or is damaged, or comes from a later version.</exception>
    public SqliteRunStore(DataDirectory directory, TimeProvider clock)
    {
        _directory = directory;
        _clock = clock;
        string file = Path.Combine(directory.Path, "xoveropt.db");
        _connectionString = new SqliteConnectionStringBuilder { DataSource = file, ForeignKeys = true }.ToString();
        try
        {
            using SqliteConnection connection = Connect();
            connection.Execute("pragma journal_mode = wal");
            SqliteMigrations.Apply(connection);

            // Whoever held a lease in this folder is gone: the lock on the folder says so.
            connection.Execute($"update runs set {GivenBack} where {Open}");
        }
        catch (SqliteException failure)
        {
            throw new StoreException($"The store '{file}' cannot be opened: {failure.Message}", failure);
        }
    }

    private long Now => _clock.GetUtcNow().ToUnixTimeMilliseconds();

    /// <inheritdoc/>
    public Submission Submit(NewRun run, IdempotencyKey? key = null)
    {
        using SqliteConnection connection = Connect();
        using SqliteTransaction transaction = connection.BeginTransaction(deferred: false);
        if (key is not null && Known(connection, transaction, key) is { } known)
        {
            return known;
        }

        long now = Now;
        string id = Guid.CreateVersion7(DateTimeOffset.FromUnixTimeMilliseconds(now)).ToString();
        connection.Execute(
            """
            insert into runs (id, name, state, job, job_hash, inventory_hash, seed, program_version, created_at)
            values (@id, @Name, 'waiting', @Job, @JobHash, @InventoryHash, @seed, @ProgramVersion, @now)
            """,
            new { id, run.Name, run.Job, run.JobHash, run.InventoryHash, seed = run.Seed.ToString(CultureInfo.InvariantCulture), run.ProgramVersion, now },
            transaction);
        if (key is not null)
        {
            connection.Execute(
                "insert into idempotency_keys (key, request_hash, run_id, created_at) values (@Key, @RequestHash, @id, @now)",
                new { key.Key, key.RequestHash, id, now },
                transaction);
        }

        transaction.Commit();
        return new Submission(SubmissionKind.Kept, id);
    }

    /// <inheritdoc/>
    public Submission? Known(IdempotencyKey key)
    {
        using SqliteConnection connection = Connect();
        return Known(connection, null, key);
    }

    /// <inheritdoc/>
    public RunRecord? Find(string runId)
    {
        using SqliteConnection connection = Connect();
        return connection.QuerySingleOrDefault<RunRow>($"select {RunRow.Columns} from runs where id = @runId", new { runId })?.ToRecord();
    }

    /// <inheritdoc/>
    public IReadOnlyList<RunRecord> List(RunState? state, string? after, int take)
    {
        using SqliteConnection connection = Connect();
        return [.. connection.Query<RunRow>(
            $"""
            select {RunRow.Columns} from runs
            where (@state is null or state = @state)
              and (@after is null or (created_at, id) < (select created_at, id from runs where id = @after))
            order by created_at desc, id desc limit @take
            """,
            new { state = state is { } one ? RunStateText.Of(one) : null, after, take }).Select(row => row.ToRecord())];
    }

    /// <inheritdoc/>
    public string? Job(string runId)
    {
        using SqliteConnection connection = Connect();
        return connection.QuerySingleOrDefault<string>("select job from runs where id = @runId", new { runId });
    }

    /// <inheritdoc/>
    public IReadOnlyList<StoredBuild> Builds(string runId)
    {
        using SqliteConnection connection = Connect();
        return [.. connection.Query<BuildRow>("select rank, cost, json from builds where run_id = @runId order by rank", new { runId })
            .Select(row => row.ToBuild())];
    }

    /// <inheritdoc/>
    public StoredBuild? Build(string runId, int rank)
    {
        using SqliteConnection connection = Connect();
        return connection.QuerySingleOrDefault<BuildRow>(
            "select rank, cost, json from builds where run_id = @runId and rank = @rank", new { runId, rank })?.ToBuild();
    }

    /// <inheritdoc/>
    public bool AskToStop(string runId)
    {
        using SqliteConnection connection = Connect();
        return connection.Execute(
            $"""
            update runs set stop_requested = 1, not_before = 0,
                state = case when started_at is null then 'stopped' else 'stopping' end,
                reason = case when started_at is null then @reason end,
                ended_at = case when started_at is null then @now end
            where id = @runId and {Open}
            """,
            new { runId, reason = ResultFile.Word(StopReason.Stopped), now = Now }) == 1;
    }

    /// <inheritdoc/>
    public RunClaim? TryClaim(string runId, string owner, TimeSpan lease)
    {
        using SqliteConnection connection = Connect();
        using SqliteTransaction transaction = connection.BeginTransaction(deferred: false);
        long now = Now;
        ClaimRow? row = connection.QuerySingleOrDefault<ClaimRow>(
            $"""
            update runs set owner = @owner, epoch = epoch + 1, lease_until = @now + @lease, attempts = attempts + 1,
                state = case when stop_requested = 1 then 'stopping' else 'running' end, started_at = coalesce(started_at, @now)
            where id = @runId and {Open} and {Free}
            returning epoch as Epoch, step as Step, attempts as Attempts, job as Job, failure as Failure
            """,
            new { runId, owner, now, lease = (long)lease.TotalMilliseconds },
            transaction);
        if (row is null)
        {
            return null;
        }

        byte[]? checkpoint = connection.QuerySingleOrDefault<byte[]>(
            "select state from checkpoints where run_id = @runId", new { runId }, transaction);
        transaction.Commit();
        return new RunClaim
        {
            RunId = runId,
            Epoch = row.Epoch,
            Step = row.Step,
            Attempts = row.Attempts,
            Job = row.Job,
            Failure = row.Failure,
            Checkpoint = checkpoint,
        };
    }

    /// <inheritdoc/>
    public LeaseSignal Renew(string runId, long epoch, TimeSpan lease)
    {
        using SqliteConnection connection = Connect();
        return Signal(connection.QuerySingleOrDefault<long?>(
            $"update runs set lease_until = @now + @lease where {Mine} returning stop_requested",
            new { runId, epoch, now = Now, lease = (long)lease.TotalMilliseconds }));
    }

    /// <inheritdoc/>
    public LeaseSignal Look(string runId, long epoch)
    {
        using SqliteConnection connection = Connect();
        return Signal(connection.QuerySingleOrDefault<long?>($"select stop_requested from runs where {Mine}", new { runId, epoch }));
    }

    /// <inheritdoc/>
    public bool SaveProgress(string runId, long epoch, string progress) =>
        Write($"update runs set progress = @progress where {Mine}", new { runId, epoch, progress });

    /// <inheritdoc/>
    public bool SaveCheckpoint(string runId, long epoch, long expectedStep, byte[] checkpoint, string progress, IReadOnlyList<StoredBuild>? builds)
    {
        using SqliteConnection connection = Connect();
        using SqliteTransaction transaction = connection.BeginTransaction(deferred: false);
        if (connection.Execute(
            $"update runs set step = step + 1, attempts = 0, progress = @progress where {Mine} and step = @expectedStep",
            new { runId, epoch, expectedStep, progress },
            transaction) == 0)
        {
            return false;
        }

        connection.Execute(
            """
            insert into checkpoints (run_id, step, state) values (@runId, @step, @checkpoint)
            on conflict (run_id) do update set step = excluded.step, state = excluded.state
            """,
            new { runId, step = expectedStep + 1, checkpoint },
            transaction);
        if (builds is not null)
        {
            Replace(connection, transaction, runId, builds);
        }

        transaction.Commit();
        return true;
    }

    /// <inheritdoc/>
    public bool Finish(string runId, long epoch, RunOutcome outcome)
    {
        using SqliteConnection connection = Connect();
        using SqliteTransaction transaction = connection.BeginTransaction(deferred: false);
        if (connection.Execute(
            $"""
            update runs set state = @state, reason = @Reason, failure = @Failure, progress = coalesce(@Progress, progress), result = @Result,
                ended_at = @now, owner = null, lease_until = null
            where {Mine}
            """,
            new { runId, epoch, state = RunStateText.Of(outcome.State), outcome.Reason, outcome.Failure, outcome.Progress, outcome.Result, now = Now },
            transaction) == 0)
        {
            return false;
        }

        connection.Execute("delete from checkpoints where run_id = @runId", new { runId }, transaction);
        if (outcome.Builds is { } builds)
        {
            Replace(connection, transaction, runId, builds);
        }

        transaction.Commit();
        return true;
    }

    /// <inheritdoc/>
    public bool Release(string runId, long epoch) =>
        Write($"update runs set {GivenBack}, attempts = max(attempts - 1, 0) where {Mine}", new { runId, epoch });

    /// <inheritdoc/>
    public bool ReleaseFailed(string runId, long epoch, string failure, TimeSpan tryAgainAfter) =>
        Write(
            $"update runs set {GivenBack}, failure = @failure, not_before = @notBefore where {Mine}",
            new { runId, epoch, failure, notBefore = Now + (long)tryAgainAfter.TotalMilliseconds });

    /// <inheritdoc/>
    public IReadOnlyList<string> Unheld()
    {
        using SqliteConnection connection = Connect();
        return [.. connection.Query<string>($"select id from runs where {Open} and {Free} order by created_at, id", new { now = Now })];
    }

    /// <inheritdoc/>
    public IReadOnlyDictionary<RunState, int> Count()
    {
        using SqliteConnection connection = Connect();
        return connection.Query<(string State, long Runs)>("select state, count(*) from runs group by state")
            .ToDictionary(row => RunStateText.Parse(row.State)!.Value, row => (int)row.Runs);
    }

    /// <summary>Closes the store and lets go of its folder.</summary>
    public void Dispose()
    {
        using (var connection = new SqliteConnection(_connectionString))
        {
            SqliteConnection.ClearPool(connection);
        }

        _directory.Dispose();
    }

    private static LeaseSignal Signal(long? stopRequested) => stopRequested switch
    {
        null => LeaseSignal.Lost,
        0 => LeaseSignal.Held,
        _ => LeaseSignal.StopAsked,
    };

    private static Submission? Known(SqliteConnection connection, SqliteTransaction? transaction, IdempotencyKey key) =>
        connection.QuerySingleOrDefault<KeyRow>(
            "select run_id as RunId, request_hash as RequestHash from idempotency_keys where key = @Key", key, transaction) is { } row
            ? new Submission(row.RequestHash == key.RequestHash ? SubmissionKind.Known : SubmissionKind.KeyUsedOtherwise, row.RunId)
            : null;

    private static void Replace(SqliteConnection connection, SqliteTransaction transaction, string runId, IReadOnlyList<StoredBuild> builds)
    {
        connection.Execute("delete from builds where run_id = @runId", new { runId }, transaction);
        connection.Execute(
            "insert into builds (run_id, rank, cost, json) values (@runId, @Rank, @Cost, @Json)",
            builds.Select(build => new { runId, build.Rank, build.Cost, build.Json }),
            transaction);
    }

    private bool Write(string sql, object values)
    {
        using SqliteConnection connection = Connect();
        return connection.Execute(sql, values) == 1;
    }

    private SqliteConnection Connect()
    {
        var connection = new SqliteConnection(_connectionString);
        connection.Open();
        connection.Execute("pragma busy_timeout = 30000; pragma synchronous = full");
        return connection;
    }
}
