using System.Text.Json.Serialization;

namespace XoverOpt.Search;

/// <summary>State of a <see cref="SuccessHistoryDe"/> between two generations.</summary>
[JsonNumberHandling(JsonNumberHandling.AllowNamedFloatingPointLiterals)]
public sealed record SuccessHistoryDeState : OptimiserState
{
    /// <summary>What it was started with.</summary>
    public required SuccessHistoryDeSettings Settings { get; init; }

    /// <summary>State of the random generator, four words.</summary>
    public required ulong[] Random { get; init; }

    /// <summary>Costs told.</summary>
    public required long Evaluations { get; init; }

    /// <summary>Members, each values in [0, 1]; none before the first tell.</summary>
    public required double[][] Members { get; init; }

    /// <summary>Their costs.</summary>
    public required double[] Costs { get; init; }

    /// <summary>Members that were replaced by better ones.</summary>
    public required double[][] Archive { get; init; }

    /// <summary>Success history of the scale factor.</summary>
    public required double[] MemoryScale { get; init; }

    /// <summary>Success history of the crossover rate.</summary>
    public required double[] MemoryCrossover { get; init; }

    /// <summary>Next entry of the history to be written.</summary>
    public required int Entry { get; init; }

    /// <summary>Best point so far.</summary>
    public required BestPoint? Best { get; init; }

    /// <summary>Why it ended; null while it goes on.</summary>
    public required OptimiserStop? Stopped { get; init; }

    /// <inheritdoc/>
    public override IOptimiser Restore() => new SuccessHistoryDe(this);
}
