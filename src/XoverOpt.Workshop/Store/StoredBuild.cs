namespace XoverOpt.Workshop.Store;

/// <summary>A ranked build as it is kept.</summary>
/// <param name="Rank">1 is best.</param>
/// <param name="Cost">Total cost.</param>
/// <param name="Json">The build file.</param>
public sealed record StoredBuild(int Rank, double Cost, string Json);
