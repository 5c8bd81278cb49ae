namespace XoverOpt.Workshop.Store;

/// <summary>
/// Shares the evaluation of one run among workers: its holder posts a batch in shards, whoever is free takes one, and the holder collects
/// the results. Results are a pure function of the payload, so it may lose everything in a crash of the store (the holder sees that shards
/// are gone and posts them again), yet it delivers no shard twice. Safe from many threads.
/// </summary>
public interface IShardExchange
{
    /// <summary>
    /// Posts shards of a batch, numbered from 0; those that are there already stay as they are. What an earlier epoch of the run left is
    /// dropped. False: the run is no longer held under this epoch.
    /// </summary>
    bool Post(string runId, long epoch, long batch, IReadOnlyList<byte[]> payloads);

    /// <summary>Takes the oldest shard of any held run that nobody works on, for so long; null if there is none.</summary>
    /// <param name="owner">Who takes it.</param>
    /// <param name="lease">How long it is kept from others.</param>
    /// <param name="runId">Only shards of this run; null for any.</param>
    Shard? Take(string owner, TimeSpan lease, string? runId = null);

    /// <summary>Makes the lease run from now. False: lost.</summary>
    bool Renew(Shard shard, TimeSpan lease);

    /// <summary>Delivers the result. False: another took the shard meanwhile, or it is no longer wanted.</summary>
    bool Deliver(Shard shard, byte[] result);

    /// <summary>Gives a shard back unworked, to be taken at once.</summary>
    void GiveBack(Shard shard);

    /// <summary>What there is of a batch. Asking again gives the same results again, until they are discarded.</summary>
    ShardsOfBatch Collect(string runId, long epoch, long batch);

    /// <summary>Drops shards of a batch, results and all.</summary>
    /// <param name="runId">The run.</param>
    /// <param name="epoch">The epoch under which they were posted.</param>
    /// <param name="batch">The batch.</param>
    /// <param name="numbers">Which; null for the whole batch.</param>
    void Discard(string runId, long epoch, long batch, IReadOnlyCollection<int>? numbers = null);
}
