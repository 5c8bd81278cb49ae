namespace XoverOpt.Search;

/// <summary>A coordinate of a point.</summary>
/// <param name="Name">Such as "low.receiver" or "mid.damper".</param>
/// <param name="Choices">Among how many it chooses, evenly spread over [0, 1]; 0 for a continuous value.</param>
public sealed record PointValue(string Name, int Choices);
