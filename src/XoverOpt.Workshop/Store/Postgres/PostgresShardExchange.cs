using Dapper;
using XoverOpt.Workshop.Store.Sql;

namespace XoverOpt.Workshop.Store.Postgres;

/// <summary>The exchange in a database that many processes share. Its table is not logged, and nobody waits for the disk.</summary>
internal sealed class PostgresShardExchange(Database database) : IShardExchange
{
    private const string NoWait = "set local synchronous_commit = off";
    private const string One = "run_id = @RunId and epoch = @Epoch and batch = @Batch and number = @Number and fence = @Fence and result is null";
    private const string Batch = "run_id = @runId and epoch = @epoch and batch = @batch";

    /// <inheritdoc/>
    public bool Post(string runId, long epoch, long batch, IReadOnlyList<byte[]> payloads)
    {
        using StoreWrite write = database.Write();
        write.Execute(NoWait);
        if (write.One<long>(
            "select count(*) from runs where id = @runId and epoch = @epoch and state in ('waiting', 'running', 'stopping')", new { runId, epoch }) == 0)
        {
            return false;
        }

        write.Execute("delete from shards where run_id = @runId and epoch < @epoch", new { runId, epoch });
        write.Execute(
            """
            insert into shards (run_id, epoch, batch, number, payload)
            select @runId, @epoch, @batch, given.place - 1, given.payload from unnest(@payloads) with ordinality as given (payload, place)
            on conflict (run_id, epoch, batch, number) do nothing
            """,
            new { runId, epoch, batch, payloads = payloads.ToArray() });
        write.Tell(NewsTopic.Shards);
        write.Commit();
        return true;
    }

    /// <inheritdoc/>
    public Shard? Take(string owner, TimeSpan lease, string? runId = null)
    {
        using StoreWrite write = database.Write();
        write.Execute(NoWait);
        ShardRow? row = write.One<ShardRow>(
            $"""
            update shards set owner = @owner, fence = fence + 1, lease_until = now_ms() + @lease
            where (run_id, epoch, batch, number) = (
                select free.run_id, free.epoch, free.batch, free.number from shards free
                where free.result is null and (free.lease_until is null or free.lease_until < now_ms())
                  and (@runId is null or free.run_id = @runId)
                  and exists (select 1 from runs where runs.id = free.run_id and runs.epoch = free.epoch and runs.state in ('running', 'stopping'))
                order by free.posted limit 1 for update of free skip locked)
            returning run_id as RunId, epoch as Epoch, batch as Batch, number as Number, fence as Fence, payload as Payload
            """,
            new { owner, lease = StoreTime.Of(lease), runId });
        write.Commit();
        return row?.ToShard();
    }

    /// <inheritdoc/>
    public bool Renew(Shard shard, TimeSpan lease) =>
        Change($"update shards set lease_until = now_ms() + @lease where {One}", shard, null, new { lease = StoreTime.Of(lease) });

    /// <inheritdoc/>
    public bool Deliver(Shard shard, byte[] result) =>
        Change($"update shards set result = @result, payload = ''::bytea where {One}", shard, NewsTopic.Results(shard.RunId), new { result });

    /// <inheritdoc/>
    public void GiveBack(Shard shard) => Change($"update shards set owner = null, lease_until = null where {One}", shard, NewsTopic.Shards, new { });

    /// <inheritdoc/>
    public ShardsOfBatch Collect(string runId, long epoch, long batch)
    {
        IReadOnlyList<ResultRow> rows = database.Many<ResultRow>(
            $"select number as Number, result as Result from shards where {Batch} order by number", new { runId, epoch, batch });
        return new ShardsOfBatch(
            [.. rows.Where(row => row.Result is not null).Select(row => new ShardResult(row.Number, row.Result!))],
            [.. rows.Where(row => row.Result is null).Select(row => row.Number)]);
    }

    /// <inheritdoc/>
    public void Discard(string runId, long epoch, long batch, IReadOnlyCollection<int>? numbers = null)
    {
        using StoreWrite write = database.Write();
        write.Execute(NoWait);
        write.Execute(
            $"delete from shards where {Batch}" + (numbers is null ? "" : " and number = any(@numbers)"), new { runId, epoch, batch, numbers = numbers?.ToArray() });
        write.Commit();
    }

    private bool Change(string sql, Shard shard, string? topic, object more)
    {
        using StoreWrite write = database.Write();
        write.Execute(NoWait);
        DynamicParameters values = new(more);
        values.AddDynamicParams(new { shard.RunId, shard.Epoch, shard.Batch, shard.Number, shard.Fence });
        bool changed = write.Execute(sql, values) > 0;
        if (changed && topic is not null)
        {
            write.Tell(topic);
        }

        write.Commit();
        return changed;
    }

    private sealed class ShardRow
    {
        public string RunId { get; init; } = "";

        public long Epoch { get; init; }

        public long Batch { get; init; }

        public int Number { get; init; }

        public long Fence { get; init; }

        public byte[] Payload { get; init; } = [];

        public Shard ToShard() => new(RunId, Epoch, Batch, Number, Fence, Payload);
    }

    private sealed class ResultRow
    {
        public int Number { get; init; }

        public byte[]? Result { get; init; }
    }
}
