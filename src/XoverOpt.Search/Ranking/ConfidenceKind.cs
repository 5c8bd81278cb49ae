namespace XoverOpt.Search;

/// <summary>What was repeated to see how sure a result is.</summary>
public enum ConfidenceKind
{
    /// <summary>The optimisation of one layout's values from random starts.</summary>
    Values,

    /// <summary>The whole search for the best layout.</summary>
    Layouts,
}
