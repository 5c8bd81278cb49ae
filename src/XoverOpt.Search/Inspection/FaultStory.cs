namespace XoverOpt.Search;

/// <summary>One way a unit may have gone wrong, with at most one free value.</summary>
/// <param name="Kind">What kind of fault.</param>
/// <param name="Place">Where: a way, two ways, or a part of a way; empty for the whole.</param>
/// <param name="Words">The story in words; {0} stands for the value.</param>
/// <param name="Prior">How likely it is before measuring, against the other stories of the list.</param>
/// <param name="Value">The free value; null where there is none.</param>
/// <param name="Apply">The unit with the fault, at a value.</param>
public sealed record FaultStory(FaultKind Kind, string Place, string Words, double Prior, FaultValue? Value, Func<BuiltUnit, double, BuiltUnit> Apply)
{
    /// <summary>What tells stories apart for whoever mends the unit: kind and place.</summary>
    public string Key => $"{Kind} {Place}".TrimEnd();
}

/// <summary>The free value of a story, u from 0 to 1 before measuring equally likely anywhere.</summary>
/// <param name="Low">At u = 0, SI or a factor.</param>
/// <param name="High">At u = 1.</param>
/// <param name="Logarithmic">Whether even on a logarithmic scale.</param>
/// <param name="ToWords">The value in words.</param>
public sealed record FaultValue(double Low, double High, bool Logarithmic, Func<double, string> ToWords)
{
    /// <summary>The value at u.</summary>
    public double At(double u) => Logarithmic ? Low * Math.Pow(High / Low, u) : Low + ((High - Low) * u);
}
