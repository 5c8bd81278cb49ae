namespace XoverOpt.Acoustics;

/// <summary>
/// What the tip speaks into: an optional leak to the room at the junction, a residual canal, and the occluded-ear simulator.
/// </summary>
/// <param name="Simulator">Element values of the lumped IEC 60318-4 simulator.</param>
/// <param name="ResidualLength">Residual canal length between tip and simulator, m; 0 for none.</param>
/// <param name="ResidualBore">Residual canal bore, m.</param>
/// <param name="Leak">Leak to the room at the junction; null for a perfect seal.</param>
/// <param name="Air">The air in tubes and volumes.</param>
public sealed record Ear(EarSimulator Simulator, double ResidualLength, double ResidualBore, Leak? Leak, Air Air);

/// <summary>A leak past the seal: acoustic resistance, Pa·s/m³, and mass, kg/m⁴, in series to the room.</summary>
public sealed record Leak(double Resistance, double Mass);
