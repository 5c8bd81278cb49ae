namespace XoverOpt.Workshop.Store;

/// <summary>Something that happened to a run.</summary>
/// <param name="Sequence">1 for the run's first, rising.</param>
/// <param name="Time">When.</param>
/// <param name="Kind">A word of <see cref="EventKind"/>.</param>
/// <param name="Data">What happened, a JSON object.</param>
public sealed record RunEvent(long Sequence, DateTimeOffset Time, string Kind, string Data);
