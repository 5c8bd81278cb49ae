namespace XoverOpt.Workshop.Store;

/// <summary>The kinds of events.</summary>
public static class EventKind
{
    /// <summary>The run changed its state: <c>{ "state", "reason"?, "owner"?, "attempt"? }</c>.</summary>
    public const string State = "state";

    /// <summary>The run's progress, as <see cref="IRunStore.SaveProgress"/> was given it. Only the last one is kept.</summary>
    public const string Progress = "progress";

    /// <summary>A checkpoint brought new builds: <c>{ "checkpoint", "builds", "cost"? }</c>, the cost being that of the best.</summary>
    public const string Best = "best";

    /// <summary>An attempt failed, or a checkpoint could not be used: <c>{ "failure" }</c>.</summary>
    public const string Failure = "failure";

    /// <summary>Somebody changed how urgent it is: <c>{ "priority" }</c>.</summary>
    public const string Priority = "priority";

    /// <summary>Its holder fell silent and the run was taken from it: <c>{ "from" }</c>.</summary>
    public const string Takeover = "takeover";
}
