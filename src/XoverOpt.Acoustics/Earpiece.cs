namespace XoverOpt.Acoustics;

/// <summary>An earpiece: its ways, all on one socket and joined at the tip.</summary>
public sealed record Earpiece(IReadOnlyList<Way> Ways);
