namespace XoverOpt.Search;

/// <summary>How hard to look. Evaluations decide what is found; minutes only cut it short.</summary>
/// <param name="Evaluations">Most evaluations of an earpiece.</param>
/// <param name="Minutes">Most minutes of wall time; null for no such end.</param>
/// <param name="Seed">Seed of all randomness.</param>
/// <param name="Keep">How many builds to keep.</param>
public sealed record Effort(long Evaluations, double? Minutes, ulong Seed, int Keep);
