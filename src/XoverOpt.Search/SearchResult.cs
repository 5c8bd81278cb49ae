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
    ulong Seed)
{
    /// <summary>Evaluations told when it was ended before its plan was through; the same number as <see cref="Effort.EndAfter"/> gives the same builds. Null if it was not.</summary>
    public long? EndedAtEvaluations { get; init; }

    /// <summary>Allowed layouts that the search ruled out or gave up without optimising them, and why; they are not among those tried.</summary>
    public IReadOnlyList<Exclusion> GivenUp { get; init; } = [];

    /// <summary>How sure the values are of the layout that is best with ideal ones, from independent starts; null where none were run.</summary>
    public SearchConfidence? Values { get; init; }

    /// <summary>How sure the best layout is, from independent repetitions of the search; null where none were run.</summary>
    public SearchConfidence? Layouts { get; init; }

    /// <summary>Allowed layouts that were neither tried nor given up.</summary>
    public double LayoutsNotReached => Math.Max(LayoutsAllowed - LayoutsTried - GivenUp.Sum(part => part.Layouts), 0);
}

/// <summary>Layouts left out before any evaluation: the limit that did it, in words, and how many.</summary>
public sealed record Exclusion(string Reason, double Layouts);
