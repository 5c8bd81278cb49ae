namespace XoverOpt.Acoustics;

/// <summary>Element values of the lumped occluded-ear simulator (kg/m⁴, m³/Pa, Pa·s/m³).</summary>
public sealed record EarSimulator(
    string Name,
    double L1, double R1, double C1,
    double L2, double R2, double C2,
    double L3, double R3, double C3,
    double L4, double R4, double C4,
    double L5, double R5, double C5);
