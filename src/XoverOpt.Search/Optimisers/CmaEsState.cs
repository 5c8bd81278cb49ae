using System.Text.Json.Serialization;

namespace XoverOpt.Search;

/// <summary>State of a <see cref="CmaEs"/> between two generations. Matrices are n × n in rows.</summary>
[JsonNumberHandling(JsonNumberHandling.AllowNamedFloatingPointLiterals)]
public sealed record CmaEsState : OptimiserState
{
    /// <summary>What it was started with.</summary>
    public required CmaEsSettings Settings { get; init; }

    /// <summary>State of the random generator, four words.</summary>
    public required ulong[] Random { get; init; }

    /// <summary>Generations told.</summary>
    public required long Generation { get; init; }

    /// <summary>Costs told.</summary>
    public required long Evaluations { get; init; }

    /// <summary>Mean m, not folded.</summary>
    public required double[] Mean { get; init; }

    /// <summary>Step size σ.</summary>
    public required double Sigma { get; init; }

    /// <summary>Path p_σ of the step size.</summary>
    public required double[] StepPath { get; init; }

    /// <summary>Path p_c of the covariance.</summary>
    public required double[] CovariancePath { get; init; }

    /// <summary>Covariance C.</summary>
    public required double[] Covariance { get; init; }

    /// <summary>Eigenvectors B of the covariance when it was last taken apart, as rows.</summary>
    public required double[] Axes { get; init; }

    /// <summary>Standard deviations D along them.</summary>
    public required double[] Lengths { get; init; }

    /// <summary>Generation in which it was last taken apart.</summary>
    public required long Decomposed { get; init; }

    /// <summary>Best cost of each recent generation, oldest first.</summary>
    public required double[] BestCosts { get; init; }

    /// <summary>Median cost of each recent generation, oldest first.</summary>
    public required double[] MedianCosts { get; init; }

    /// <summary>Best point so far.</summary>
    public required BestPoint? Best { get; init; }

    /// <summary>Why it ended; null while it goes on.</summary>
    public required OptimiserStop? Stopped { get; init; }

    /// <inheritdoc/>
    public override IOptimiser Restore() => new CmaEs(this);
}
