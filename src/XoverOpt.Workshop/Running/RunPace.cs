namespace XoverOpt.Workshop.Running;

/// <summary>How fast a run works and how often it is heard of. None of it changes what is found.</summary>
public sealed record RunPace
{
    /// <summary>Threads that evaluate at once, ≥ 1.</summary>
    public int Threads { get; init; } = Environment.ProcessorCount;

    /// <summary>Least time between two progress reports.</summary>
    public TimeSpan ProgressEvery { get; init; } = TimeSpan.FromMilliseconds(200);

    /// <summary>Least time between two checkpoints.</summary>
    public TimeSpan CheckpointEvery { get; init; } = TimeSpan.FromSeconds(5);
}
