namespace XoverOpt.Workshop.Store;

/// <summary>What there is of a batch.</summary>
/// <param name="Results">Those delivered, by number.</param>
/// <param name="Waiting">Numbers of those not delivered yet. One that is neither here nor among the results is lost or was discarded.</param>
public sealed record ShardsOfBatch(IReadOnlyList<ShardResult> Results, IReadOnlyList<int> Waiting);

/// <summary>The result of a shard.</summary>
/// <param name="Number">Its place in the batch, from 0.</param>
/// <param name="Result">In the form the deliverer gave it.</param>
public sealed record ShardResult(int Number, byte[] Result);
