namespace XoverOpt.Search;

/// <summary>Weights of the parts of the cost, each ≥ 0.</summary>
public sealed record CostWeights(double Magnitude = 1, double Phase = 1, double Arrival = 1, double Summing = 1);
