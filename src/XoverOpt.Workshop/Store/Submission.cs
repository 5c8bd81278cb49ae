namespace XoverOpt.Workshop.Store;

/// <summary>What came of handing in a run.</summary>
/// <param name="Kind">Kept, known already, or refused.</param>
/// <param name="RunId">The run's id; that of the earlier run unless it was kept now.</param>
public sealed record Submission(SubmissionKind Kind, string RunId);

/// <summary>What may come of handing in a run.</summary>
public enum SubmissionKind
{
    /// <summary>A new run is kept.</summary>
    Kept,

    /// <summary>The same request came before under this key.</summary>
    Known,

    /// <summary>The key was used for another request.</summary>
    KeyUsedOtherwise,
}
