namespace XoverOpt.Search;

/// <summary>Trials asked for together, whose results are told together.</summary>
/// <param name="Stage">What the search was doing when it asked; its results are taken as of this stage, whatever it does by then.</param>
/// <param name="Trials">The trials, in the order in which results are told.</param>
public sealed record Batch(SearchStage Stage, IReadOnlyList<Trial> Trials);
