namespace XoverOpt.Search;

/// <summary>What would improve a build.</summary>
/// <param name="What">What kind of thing holds it back.</param>
/// <param name="GainPercent">By how much the cost would fall if it did not, % of the build's cost; null where it names no such thing.</param>
/// <param name="Words">For a designer.</param>
public sealed record Advice(AdviceKind What, double? GainPercent, string Words);

/// <summary>What holds a build back.</summary>
public enum AdviceKind
{
    /// <summary>A value stands at the end of its list or range.</summary>
    ListEnd,

    /// <summary>Values come in coarse steps.</summary>
    ListSteps,

    /// <summary>The list holds better values than were chosen; not seen in what a search has finished.</summary>
    Choice,

    /// <summary>A limit of the job binds.</summary>
    Limit,

    /// <summary>Neither: the receivers themselves.</summary>
    Receivers,
}
