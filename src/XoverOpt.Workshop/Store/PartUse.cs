using XoverOpt.Search;

namespace XoverOpt.Workshop.Store;

/// <summary>A stored build that uses a part.</summary>
/// <param name="Build">Which.</param>
/// <param name="Job">The job's name.</param>
/// <param name="State">Where its run stands: of a run that is not over it is among the best so far.</param>
/// <param name="Ended">When the run ended; null before.</param>
/// <param name="Cost">The build's cost.</param>
/// <param name="Pieces">How many of the part go into one earpiece; cuts, for tubing.</param>
/// <param name="LengthMm">For tubing, all cuts together, mm; else null.</param>
public sealed record PartUse(BuildPlace Build, string Job, RunState State, DateTimeOffset? Ended, double Cost, int Pieces, double? LengthMm);

/// <summary>A stored build's place.</summary>
/// <param name="RunId">Its run.</param>
/// <param name="Rank">Its rank there, 1 is best.</param>
public sealed record BuildPlace(string RunId, int Rank);

/// <summary>How often a part is used.</summary>
/// <param name="Kind">What the part is.</param>
/// <param name="Builds">Builds that use it.</param>
/// <param name="Runs">Runs with such builds.</param>
public sealed record PartUseCount(PartKind Kind, int Builds, int Runs);
