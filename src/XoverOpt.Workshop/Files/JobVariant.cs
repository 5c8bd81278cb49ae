namespace XoverOpt.Workshop;

/// <summary>A job that starts from a build and frees some of its ways only.</summary>
/// <param name="Build">The build, as the job names it; whoever runs the job looks it up.</param>
/// <param name="Free">Names of the ways that may change; the others stay as in the build.</param>
public sealed record JobVariant(string Build, IReadOnlyList<string> Free);
