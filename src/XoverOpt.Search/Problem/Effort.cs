namespace XoverOpt.Search;

/// <summary>How hard to look. Evaluations decide what is found; minutes only cut it short.</summary>
/// <param name="Evaluations">About the most evaluations of an earpiece; the last batch is finished.</param>
/// <param name="Minutes">Most minutes of wall time; null for no such end.</param>
/// <param name="Seed">Seed of all randomness.</param>
/// <param name="Keep">How many builds to keep.</param>
public sealed record Effort(long Evaluations, double? Minutes, ulong Seed, int Keep);
