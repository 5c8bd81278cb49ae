namespace XoverOpt.Workshop.Store;

/// <summary>What the holder of a lease must know.</summary>
public enum LeaseSignal
{
    /// <summary>Go on.</summary>
    Held,

    /// <summary>Stop and keep the best so far.</summary>
    StopAsked,

    /// <summary>The whole worker is paused: give the run back in good order.</summary>
    PauseAsked,

    /// <summary>The run ended or is another's: leave, nothing written will count.</summary>
    Lost,
}
