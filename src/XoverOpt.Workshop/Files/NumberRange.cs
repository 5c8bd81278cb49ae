using System.Globalization;

namespace XoverOpt.Workshop;

/// <summary>The numbers a field may hold, with their unit.</summary>
/// <param name="Min">Smallest.</param>
/// <param name="Max">Largest.</param>
/// <param name="Unit">Unit as written to people; empty for a bare number.</param>
/// <param name="AboveMin">Whether <paramref name="Min"/> itself is not allowed.</param>
public sealed record NumberRange(double Min, double Max, string Unit = "", bool AboveMin = false)
{
    /// <summary>More than 0, at most <paramref name="max"/>.</summary>
    public static NumberRange Positive(double max, string unit = "") => new(0, max, unit, AboveMin: true);

    /// <summary>0 or more, at most <paramref name="max"/>.</summary>
    public static NumberRange NotNegative(double max, string unit = "") => new(0, max, unit);

    /// <summary>Whether the number may stand there.</summary>
    public bool Holds(double value) => double.IsFinite(value) && (AboveMin ? value > Min : value >= Min) && value <= Max && !IsTooSmall(value);

    /// <summary>
    /// Whether a number above a least of 0 is so small (below 1e-12 of the largest allowed) that the physics, which divides by it,
    /// would overflow.
    /// </summary>
    public bool IsTooSmall(double value) => AboveMin && Min == 0 && value > 0 && value < Max * 1e-12;

    /// <summary>The range in words.</summary>
    public override string ToString() => AboveMin
        ? $"a number above {Text(Min)}, at most {Text(Max)}"
        : $"a number from {Text(Min)} to {Text(Max)}";

    private string Text(double value) =>
        value.ToString(CultureInfo.InvariantCulture) + (Unit.Length == 0 ? "" : " " + Unit);
}
