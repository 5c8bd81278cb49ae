using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>A job as read.</summary>
public sealed record JobDocument
{
    /// <summary>The job made whole.</summary>
    public required Problem Problem { get; init; }

    /// <summary>
    /// The job as canonical JSON with its inventory and target points inside, so that it needs no other file. Reading it again
    /// gives the same problem and the same hashes.
    /// </summary>
    public required string SelfContainedJson { get; init; }

    /// <summary>The inventory it draws on.</summary>
    public required Inventory Inventory { get; init; }

    /// <summary>The author's note; null when there is none.</summary>
    public string? Note { get; init; }

    /// <summary>When to run it.</summary>
    public JobSchedule Schedule { get; init; } = new();

    /// <summary>The build it starts from; null for a job of its own.</summary>
    public JobVariant? From { get; init; }

    /// <summary>The builds it knows beforehand; null for none.</summary>
    public JobKnown? Known { get; init; }
}
