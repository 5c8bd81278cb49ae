namespace XoverOpt.Workshop.Store;

/// <summary>
/// Pauses all work, in every process on this store and across restarts: no run is begun or taken over, and holders are told to give theirs
/// back (<see cref="LeaseSignal.PauseAsked"/>). Runs can still be handed in and stopped. Safe from many threads.
/// </summary>
public interface IWorkerPause
{
    /// <summary>The pause; null while work goes on.</summary>
    PauseRecord? Current();

    /// <summary>Pauses. False if it was paused already.</summary>
    bool Pause(string who);

    /// <summary>Goes on. False if it was not paused.</summary>
    bool GoOn();
}
