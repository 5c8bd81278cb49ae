using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>What workers on one store share the evaluation of runs through; there only where the store is for several processes.</summary>
/// <param name="Exchange">Where shards are posted and taken.</param>
/// <param name="News">Tells when there is something.</param>
public sealed record RunSharing(IShardExchange Exchange, INews News);
