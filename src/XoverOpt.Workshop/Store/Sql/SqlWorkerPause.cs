namespace XoverOpt.Workshop.Store.Sql;

/// <summary>The pause, in a database.</summary>
internal sealed class SqlWorkerPause(Database database) : IWorkerPause
{
    /// <inheritdoc/>
    public PauseRecord? Current() =>
        database.One<PauseRow>("select who as Who, since as Since from worker_pause") is { } row ? new PauseRecord(row.Who, StoreTime.Of(row.Since)) : null;

    /// <inheritdoc/>
    public bool Pause(string who) =>
        Change("insert into worker_pause (one, who, since) values (1, @who, now_ms()) on conflict (one) do nothing", new { who });

    /// <inheritdoc/>
    public bool GoOn() => Change("delete from worker_pause", null);

    private bool Change(string sql, object? values)
    {
        using StoreWrite write = database.Write();
        bool changed = write.Execute(sql, values) > 0;
        write.Tell(NewsTopic.Work);
        write.Commit();
        return changed;
    }

    private sealed class PauseRow
    {
        public string Who { get; init; } = "";

        public long Since { get; init; }
    }
}
