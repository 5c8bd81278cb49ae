namespace XoverOpt.Workshop.Store;

/// <summary>A part of a batch, taken to be evaluated.</summary>
/// <param name="RunId">The run.</param>
/// <param name="Epoch">The epoch under which it was posted.</param>
/// <param name="Batch">The batch.</param>
/// <param name="Number">Its place in the batch, from 0.</param>
/// <param name="Fence">Raised each time it is taken: a result under an older one does not count.</param>
/// <param name="Payload">What is to be evaluated, in the form the poster gave it.</param>
public sealed record Shard(string RunId, long Epoch, long Batch, int Number, long Fence, byte[] Payload);
