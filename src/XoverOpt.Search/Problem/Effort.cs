namespace XoverOpt.Search;

/// <summary>How hard to look. Evaluations decide what is found; minutes only cut it short.</summary>
/// <param name="Evaluations">About the most evaluations of an earpiece; what is begun is finished.</param>
/// <param name="Minutes">Most minutes of wall time; null for no such end.</param>
/// <param name="Seed">Seed of all randomness.</param>
/// <param name="Keep">How many builds to keep.</param>
public sealed record Effort(long Evaluations, double? Minutes, ulong Seed, int Keep)
{
    /// <summary>
    /// Ends the search once so many evaluations have been told, as an earlier run was ended by time or by somebody
    /// (<see cref="SearchResult.EndedAtEvaluations"/>): the builds are those of that run. Null for no such end.
    /// </summary>
    public long? EndAfter { get; init; }
}
