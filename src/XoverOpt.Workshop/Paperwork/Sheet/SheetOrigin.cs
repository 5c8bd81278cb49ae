namespace XoverOpt.Workshop.Paperwork;

/// <summary>Where a build came from, beside what its file and job say.</summary>
/// <param name="Run">Id of the run in the worker; null for one of the command line.</param>
/// <param name="Rank">Its rank there; that of the build file where null.</param>
/// <param name="Seed">The seed it was found with; that of the job where null.</param>
public sealed record SheetOrigin(string? Run = null, int? Rank = null, ulong? Seed = null);
