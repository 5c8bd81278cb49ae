using System.Text.Json.Serialization;

namespace XoverOpt.Search;

/// <summary>What a <see cref="CmaEs"/> is started with.</summary>
/// <param name="Dimensions">Number of values, at least 1.</param>
/// <param name="Seed">Seed of its random numbers.</param>
[JsonNumberHandling(JsonNumberHandling.AllowNamedFloatingPointLiterals)]
public sealed record CmaEsSettings(int Dimensions, ulong Seed)
{
    /// <summary>First mean, values in [0, 1]; null for a point drawn evenly.</summary>
    public double[]? Start { get; init; }

    /// <summary>First standard deviation of every value, of the unit interval.</summary>
    public double Sigma { get; init; } = 0.3;

    /// <summary>Points a generation, at least 4; null for 4 + ⌊3 ln n⌋.</summary>
    public int? Population { get; init; }

    /// <summary>Most evaluations; a generation that would exceed them is not begun.</summary>
    public long MaxEvaluations { get; init; } = long.MaxValue;

    /// <summary>Ends at a cost no greater than this.</summary>
    public double Target { get; init; } = double.NegativeInfinity;

    /// <summary>Costs that differ by no more than this are the same.</summary>
    public double CostTolerance { get; init; } = 1e-12;

    /// <summary>Standard deviations below this share of the first are none.</summary>
    public double StepTolerance { get; init; } = 1e-12;

    /// <summary>Points a generation as it will be.</summary>
    internal int Lambda => Population ?? 4 + (int)(3 * Math.Log(Dimensions));

    /// <summary>These settings, if they make sense.</summary>
    /// <exception cref="ArgumentException">They do not; every fault is named.</exception>
    internal CmaEsSettings Checked()
    {
        (bool Good, string Fault)[] rules =
        [
            (Dimensions >= 1, $"{nameof(Dimensions)} is {Dimensions}; at least 1."),
            (Start is null || (Start.Length == Dimensions && Start.All(value => value is >= 0 and <= 1)),
                $"{nameof(Start)} must be {Dimensions} values from 0 to 1."),
            (Sigma is > 0 and <= 1, FormattableString.Invariant($"{nameof(Sigma)} is {Sigma}; above 0, at most 1.")),
            (Population is null or >= 4, $"{nameof(Population)} is {Population}; at least 4."),
        ];
        return rules.All(rule => rule.Good)
            ? this
            : throw new ArgumentException(string.Join(' ', rules.Where(rule => !rule.Good).Select(rule => rule.Fault)));
    }
}
