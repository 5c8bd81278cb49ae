using System.Text.Json.Serialization;

namespace XoverOpt.Search;

/// <summary>What a <see cref="SuccessHistoryDe"/> is started with.</summary>
/// <param name="Dimensions">Number of values, at least 1.</param>
/// <param name="Seed">Seed of its random numbers.</param>
[JsonNumberHandling(JsonNumberHandling.AllowNamedFloatingPointLiterals)]
public sealed record SuccessHistoryDeSettings(int Dimensions, ulong Seed)
{
    /// <summary>First member, values in [0, 1]; the others, or with null all, are drawn evenly.</summary>
    public double[]? Start { get; init; }

    /// <summary>Members, at least 4.</summary>
    public int Population { get; init; } = 100;

    /// <summary>Members when the evaluations are used up, at least 4; null for no reduction.</summary>
    public int? FinalPopulation { get; init; }

    /// <summary>Entries of the success history.</summary>
    public int Memory { get; init; } = 100;

    /// <summary>Replaced members kept, as a multiple of the population.</summary>
    public double Archive { get; init; } = 1;

    /// <summary>Share of the members that count as the best; null to draw it for every point between 2 members and 20 %.</summary>
    public double? BestShare { get; init; }

    /// <summary>Most evaluations; a generation that would exceed them is not begun.</summary>
    public long MaxEvaluations { get; init; } = long.MaxValue;

    /// <summary>Ends at a cost no greater than this.</summary>
    public double Target { get; init; } = double.NegativeInfinity;

    /// <summary>Members whose costs differ by no more than this are the same.</summary>
    public double CostTolerance { get; init; } = 1e-12;

    /// <summary>Members whose values differ by no more than this are the same.</summary>
    public double StepTolerance { get; init; } = 1e-12;

    /// <summary>With linear reduction of the population and the sizes of the paper on it (2014): 18 n members down to 4, six entries.</summary>
    public static SuccessHistoryDeSettings Reducing(int dimensions, ulong seed, long maxEvaluations) => new(dimensions, seed)
    {
        Population = 18 * dimensions,
        FinalPopulation = 4,
        Memory = 6,
        Archive = 2.6,
        BestShare = 0.11,
        MaxEvaluations = maxEvaluations,
    };

    /// <summary>These settings, if they make sense.</summary>
    /// <exception cref="ArgumentException">They do not; every fault is named.</exception>
    internal SuccessHistoryDeSettings Checked()
    {
        (bool Good, string Fault)[] rules =
        [
            (Dimensions >= 1, $"{nameof(Dimensions)} is {Dimensions}; at least 1."),
            (Start is null || (Start.Length == Dimensions && Start.All(value => value is >= 0 and <= 1)),
                $"{nameof(Start)} must be {Dimensions} values from 0 to 1."),
            (Population >= 4, $"{nameof(Population)} is {Population}; at least 4."),
            (FinalPopulation is null || (FinalPopulation >= 4 && FinalPopulation <= Population),
                $"{nameof(FinalPopulation)} is {FinalPopulation}; from 4 to {Population}."),
            (FinalPopulation is null || MaxEvaluations < long.MaxValue, $"{nameof(FinalPopulation)} needs {nameof(MaxEvaluations)}."),
            (Memory >= 1, $"{nameof(Memory)} is {Memory}; at least 1."),
            (Archive >= 0, FormattableString.Invariant($"{nameof(Archive)} is {Archive}; at least 0.")),
            (BestShare is null or (> 0 and <= 1), FormattableString.Invariant($"{nameof(BestShare)} is {BestShare}; above 0, at most 1.")),
        ];
        return rules.All(rule => rule.Good)
            ? this
            : throw new ArgumentException(string.Join(' ', rules.Where(rule => !rule.Good).Select(rule => rule.Fault)));
    }
}
