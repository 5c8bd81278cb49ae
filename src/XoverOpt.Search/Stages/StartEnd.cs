namespace XoverOpt.Search;

/// <summary>Where an independent random start ended.</summary>
/// <param name="Cost">The cost there.</param>
/// <param name="Unit">The point in the unit cube.</param>
public sealed record StartEnd(double Cost, double[] Unit);
