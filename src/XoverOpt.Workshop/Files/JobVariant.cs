using XoverOpt.Acoustics;

namespace XoverOpt.Workshop;

/// <summary>A job that starts from a build and frees some of its ways only.</summary>
/// <param name="Parent">The build it starts from.</param>
/// <param name="Job">Name of the job that build was made for; null where not stated.</param>
/// <param name="Rank">Its rank there; null where not stated.</param>
/// <param name="Free">Names of the ways that may change; the others stay as in the build, part for part.</param>
public sealed record JobVariant(Earpiece Parent, string? Job, int? Rank, IReadOnlyList<string> Free);

/// <summary>What a job knows beforehand.</summary>
/// <param name="Of">The run the builds come from, as people call it or by its id; null where not stated.</param>
/// <param name="Builds">The builds, best first. Of a receiver that the drawer no longer has, nothing but the part number is known: its parameters are NaN.</param>
public sealed record JobKnown(string? Of, IReadOnlyList<Earpiece> Builds);
