namespace XoverOpt.Search;

/// <summary>A piece of work: a layout to be optimised, or to be made buildable. Plain data; its result depends on nothing else.</summary>
/// <param name="Layout">The layout.</param>
/// <param name="From">A point in the unit cube to start from; null for none.</param>
/// <param name="Seed">Seed of its own random starts.</param>
/// <param name="Plan">How hard to work on it.</param>
public sealed record Trial(Layout Layout, double[]? From, ulong Seed, TrialPlan Plan);
