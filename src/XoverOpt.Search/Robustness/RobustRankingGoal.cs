namespace XoverOpt.Search;

/// <summary>What a job asks of builds whose parts, ears and sources vary.</summary>
/// <param name="Samples">Built units drawn of each build, an even number.</param>
/// <param name="Spread">Whether parts vary.</param>
/// <param name="Ears">Whether ears vary.</param>
/// <param name="Sources">Whether sources vary.</param>
/// <param name="Weight">From 0, only the build as drawn counts, to 1, only what is to be expected.</param>
public sealed record RobustRankingGoal(int Samples = 400, bool Spread = true, bool Ears = true, bool Sources = true, double Weight = 1);
