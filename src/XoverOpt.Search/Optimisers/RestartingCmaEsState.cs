namespace XoverOpt.Search;

/// <summary>State of a <see cref="RestartingCmaEs"/> between two generations.</summary>
public sealed record RestartingCmaEsState : OptimiserState
{
    /// <summary>What it was started with; the evaluations and the target hold for all descents together.</summary>
    public required CmaEsSettings Settings { get; init; }

    /// <summary>State of the generator that seeds the descents, four words.</summary>
    public required ulong[] Random { get; init; }

    /// <summary>Descents before the current one, in order.</summary>
    public required IReadOnlyList<EndedDescent> Ended { get; init; }

    /// <summary>The last descent.</summary>
    public required CmaEsState Current { get; init; }

    /// <summary>Why it ended; null while it goes on.</summary>
    public required OptimiserStop? Stopped { get; init; }

    /// <inheritdoc/>
    public override IOptimiser Restore() => new RestartingCmaEs(this);
}
