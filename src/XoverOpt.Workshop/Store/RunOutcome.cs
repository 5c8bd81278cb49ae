namespace XoverOpt.Workshop.Store;

/// <summary>How a run ended.</summary>
/// <param name="State">Done, stopped or failed.</param>
/// <param name="Reason">Why the search ended, a word of <see cref="ResultFile.Word"/>; null if it never came to that.</param>
/// <param name="Failure">What went wrong, in words; null if nothing did.</param>
/// <param name="Progress">Last progress, JSON; null leaves what stands.</param>
/// <param name="Result">The result, JSON without the builds; null if there is none.</param>
/// <param name="Builds">Ranked builds; null leaves those that stand.</param>
public sealed record RunOutcome(
    RunState State,
    string? Reason,
    string? Failure,
    string? Progress,
    string? Result,
    IReadOnlyList<StoredBuild>? Builds);
