namespace XoverOpt.Search;

/// <summary>What would improve a build.</summary>
/// <param name="What">What kind of thing holds it back.</param>
/// <param name="GainPercent">By how much the cost would fall if it did not, % of the build's cost; null where it names no such thing.</param>
/// <param name="Words">For a designer.</param>
public sealed record Advice(AdviceKind What, double? GainPercent, string Words);
