namespace XoverOpt.Workshop.Store;

/// <summary>What news can be about.</summary>
public static class NewsTopic
{
    /// <summary>A run may be there to be worked on, or the worker was paused or resumed.</summary>
    public const string Work = "work";

    /// <summary>Some run changed its state, or is gone.</summary>
    public const string States = "states";

    /// <summary>Shards were posted or given back.</summary>
    public const string Shards = "shards";

    /// <summary>A notice is due.</summary>
    public const string Outbox = "outbox";

    /// <summary>An event of a run.</summary>
    public static string Run(string runId) => "run/" + runId;

    /// <summary>Results of a run's shards.</summary>
    public static string Results(string runId) => "results/" + runId;
}
