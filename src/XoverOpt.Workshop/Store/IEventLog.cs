namespace XoverOpt.Workshop.Store;

/// <summary>
/// What happened to each run, append-only: the store writes an event in the transaction of the change it tells of, so that none is told
/// that did not happen and none is missed. Safe from many threads.
/// </summary>
public interface IEventLog
{
    /// <summary>The events of a run after a sequence number, in their order; none if there is no such run. Numbers rise and have gaps where older progress was dropped.</summary>
    /// <param name="runId">The run.</param>
    /// <param name="afterSequence">The last number seen; 0 for all.</param>
    /// <param name="take">At most this many.</param>
    IReadOnlyList<RunEvent> Events(string runId, long afterSequence, int take);
}
