namespace XoverOpt.Workshop.Store;

/// <summary>Where a run stands. The names in lower case are those of the store and the API.</summary>
public enum RunState
{
    /// <summary>Kept, and nobody works on it: not begun, or given back to be taken over or tried again.</summary>
    Waiting,

    /// <summary>A worker has claimed it.</summary>
    Running,

    /// <summary>Asked to stop, not yet ended.</summary>
    Stopping,

    /// <summary>Ended of itself, with builds.</summary>
    Done,

    /// <summary>Ended because somebody stopped it, with the best so far.</summary>
    Stopped,

    /// <summary>Ended without a result, or given up; the reason is kept with it.</summary>
    Failed,
}
