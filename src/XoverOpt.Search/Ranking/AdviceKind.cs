namespace XoverOpt.Search;

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
