namespace XoverOpt.Search;

/// <summary>What a search found and why it ended.</summary>
/// <param name="Builds">Ranked builds, best first; different layouts.</param>
/// <param name="Reason">Why it ended.</param>
/// <param name="Evaluations">Evaluations used.</param>
/// <param name="LayoutsTried">Layouts optimised.</param>
/// <param name="LayoutsAllowed">Layouts that no limit excludes.</param>
/// <param name="Exclusions">Layouts or parts left out beforehand, and why, with counts.</param>
/// <param name="Seed">The seed.</param>
public sealed record SearchResult(
    IReadOnlyList<RankedBuild> Builds,
    StopReason Reason,
    long Evaluations,
    long LayoutsTried,
    double LayoutsAllowed,
    IReadOnlyList<Exclusion> Exclusions,
    ulong Seed);

/// <summary>Layouts left out before any evaluation: the limit that did it, in words, and how many.</summary>
public sealed record Exclusion(string Reason, double Layouts);
