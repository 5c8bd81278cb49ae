namespace XoverOpt.Workshop.Store;

/// <summary>What came of deleting a run.</summary>
public enum Deletion
{
    /// <summary>It is gone with everything it had.</summary>
    Deleted,

    /// <summary>There is no such run.</summary>
    NoSuchRun,

    /// <summary>It has not ended: stop it first.</summary>
    StillOpen,
}
