namespace XoverOpt.Search;

/// <summary>A trade-off front: the builds that no other build of the list beats in one of two figures without giving way in the other.</summary>
/// <param name="Name">What is traded, such as "price".</param>
/// <param name="X">The first figure, by its name in a result file.</param>
/// <param name="Y">The second.</param>
/// <param name="Ranks">Ranks of the builds on it, rising.</param>
public sealed record TradeOffFront(string Name, string X, string Y, IReadOnlyList<int> Ranks);
