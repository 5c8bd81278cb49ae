using System.Globalization;

namespace XoverOpt.Search;

/// <summary>
/// The output resistances a build should hold up on, around the job's own: near nothing, 5 and 20 Ω as small outputs have them, and the
/// 120 Ω of IEC 61938. Weights are a choice to compare builds by: common practice, no source.
/// </summary>
public static class SourceScenarios
{
    private const double OwnWeight = 0.4;

    private static readonly (double Ohm, double Weight)[] _others = [(0.1, 0.2), (5, 0.2), (20, 0.15), (120, 0.05)];

    /// <summary>The scenarios of a problem, all in its own ear, the job's source first; a resistance within 1 % of the job's counts to it.</summary>
    public static IReadOnlyList<Scenario> Of(Problem problem)
    {
        double own = problem.Source.Resistance;
        (double Ohm, double Weight)[] apart = [.. _others.Where(other => Math.Abs(other.Ohm - own) > 0.01 * other.Ohm)];
        double same = _others.Sum(other => other.Weight) - apart.Sum(other => other.Weight);
        return
        [
            new("the job's source", OwnWeight + same, problem.Ear, problem.Source),
            .. apart.Select(other => new Scenario(
                string.Create(CultureInfo.InvariantCulture, $"{other.Ohm} Ω source"), other.Weight, problem.Ear, problem.Source with { Resistance = other.Ohm })),
        ];
    }
}
