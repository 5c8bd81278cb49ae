namespace XoverOpt.Workshop.Store;

/// <summary>A notice that a run has ended.</summary>
public sealed record Notice
{
    /// <summary>The run.</summary>
    public required string RunId { get; init; }

    /// <summary>Whom to tell.</summary>
    public required string Url { get; init; }

    /// <summary>Attempts so far; when taken, this one included.</summary>
    public required int Attempts { get; init; }

    /// <summary>When it is tried next; null once delivered or given up.</summary>
    public DateTimeOffset? NextAttempt { get; init; }

    /// <summary>When it was delivered; null before.</summary>
    public DateTimeOffset? Delivered { get; init; }

    /// <summary>Why the last attempt failed; null if none did.</summary>
    public string? LastFailure { get; init; }
}
