namespace XoverOpt.Workshop.Store;

/// <summary>A run as it is kept, without the job and the builds.</summary>
public sealed record RunRecord
{
    /// <summary>Its id.</summary>
    public required string Id { get; init; }

    /// <summary>The job's name.</summary>
    public required string Name { get; init; }

    /// <summary>Where it stands.</summary>
    public required RunState State { get; init; }

    /// <summary>Hash of the job.</summary>
    public required string JobHash { get; init; }

    /// <summary>Hash of the inventory.</summary>
    public required string InventoryHash { get; init; }

    /// <summary>Seed of all randomness.</summary>
    public required ulong Seed { get; init; }

    /// <summary>Version of the program that took it.</summary>
    public required string ProgramVersion { get; init; }

    /// <summary>Higher goes first; 0 is usual.</summary>
    public int Priority { get; init; }

    /// <summary>Not worked on before this, by its schedule or because an attempt failed; null for at once.</summary>
    public DateTimeOffset? NotBefore { get; init; }

    /// <summary>When the result is wanted; null for no such time.</summary>
    public DateTimeOffset? Deadline { get; init; }

    /// <summary>The address that is told when it has ended; null for none.</summary>
    public string? Notify { get; init; }

    /// <summary>When it was handed in.</summary>
    public required DateTimeOffset Created { get; init; }

    /// <summary>When work first began; null before.</summary>
    public DateTimeOffset? Started { get; init; }

    /// <summary>When it ended; null before.</summary>
    public DateTimeOffset? Ended { get; init; }

    /// <summary>Who holds it; null if nobody does.</summary>
    public string? Owner { get; init; }

    /// <summary>Raised by each claim: writes under an older one change nothing.</summary>
    public long Epoch { get; init; }

    /// <summary>Claims since the last checkpoint that were not given back in good order.</summary>
    public int Attempts { get; init; }

    /// <summary>Checkpoints so far.</summary>
    public long Step { get; init; }

    /// <summary>Last progress, JSON; null before the first.</summary>
    public string? Progress { get; init; }

    /// <summary>Why the search ended, such as "evaluations-used" (<see cref="ResultFile.Word"/>); null before it ended.</summary>
    public string? Reason { get; init; }

    /// <summary>What went wrong, in words; the last of several attempts.</summary>
    public string? Failure { get; init; }

    /// <summary>The result, JSON without the builds; null before it ended.</summary>
    public string? Result { get; init; }

    /// <summary>Whether it has not ended yet.</summary>
    public bool Open => State is RunState.Waiting or RunState.Running or RunState.Stopping;
}
