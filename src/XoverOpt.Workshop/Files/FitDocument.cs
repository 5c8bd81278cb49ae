using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>A measurements/1 file as read.</summary>
/// <param name="Problem">What is to be fitted.</param>
/// <param name="Maker">Maker of the receiver, for the receiver file.</param>
/// <param name="Description">Description, likewise.</param>
/// <param name="Tags">Ranges, likewise.</param>
public sealed record FitDocument(ReceiverFitProblem Problem, string Maker, string Description, IReadOnlyList<string> Tags);
