namespace XoverOpt.Workshop.Store;

/// <summary>
/// What a job loses if a part goes. Runs of one job are those of equal job hash: what is asked, whatever drawer it was asked of. Only
/// runs that have ended with builds count.
/// </summary>
public sealed record PartLoss
{
    /// <summary>The job's name, as its latest run bears it.</summary>
    public required string Job { get; init; }

    /// <summary>Hash of the job.</summary>
    public required string JobHash { get; init; }

    /// <summary>The latest run.</summary>
    public required string RunId { get; init; }

    /// <summary>When it ended.</summary>
    public required DateTimeOffset Ended { get; init; }

    /// <summary>Builds of the latest run.</summary>
    public required int Builds { get; init; }

    /// <summary>Those of them that need the part.</summary>
    public required int Lost { get; init; }

    /// <summary>Cost of the latest run's best build.</summary>
    public required double BestCost { get; init; }

    /// <summary>Rank of the best build of the latest run that does not need the part; null where all do.</summary>
    public int? NextRank { get; init; }

    /// <summary>Its cost; null where there is none.</summary>
    public double? NextCost { get; init; }

    /// <summary>Runs of the job.</summary>
    public required int AllRuns { get; init; }

    /// <summary>Builds of all its runs.</summary>
    public required int AllBuilds { get; init; }

    /// <summary>Those of them that need the part.</summary>
    public required int AllLost { get; init; }
}
