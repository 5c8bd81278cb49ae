namespace XoverOpt.Workshop.Store;

/// <summary>The right to work on a run, until the lease runs out or another claim raises the epoch.</summary>
public sealed record RunClaim
{
    /// <summary>The run.</summary>
    public required string RunId { get; init; }

    /// <summary>The fencing number: later writes name it.</summary>
    public required long Epoch { get; init; }

    /// <summary>Checkpoints so far.</summary>
    public required long Step { get; init; }

    /// <summary>Claims since the last checkpoint that were not given back in good order, this one included.</summary>
    public required int Attempts { get; init; }

    /// <summary>The job, self-contained JSON.</summary>
    public required string Job { get; init; }

    /// <summary>What went wrong on the last attempt; null if nothing did.</summary>
    public string? Failure { get; init; }

    /// <summary>When the result is wanted; null for no such time.</summary>
    public DateTimeOffset? Deadline { get; init; }

    /// <summary>How long after the claim that is, by the store's clock, negative where it has passed; null for no such time.</summary>
    public TimeSpan? UntilDeadline { get; init; }

    /// <summary>A stop was asked for before it was claimed.</summary>
    public bool StopAsked { get; init; }

    /// <summary>The last checkpoint; null before the first.</summary>
    public byte[]? Checkpoint { get; init; }
}
