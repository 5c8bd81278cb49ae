namespace XoverOpt.Search;

/// <summary>The cost of a build by its parts; zero means on target. Penalty is what broken limits add.</summary>
public readonly record struct CostBreakdown(double Total, double Magnitude, double Phase, double Arrival, double Summing, double Penalty);
