namespace XoverOpt.Acoustics;

/// <summary>A straight piece of sound tube: length and bore (inner diameter), m.</summary>
public sealed record TubeSegment(double Length, double Bore);
