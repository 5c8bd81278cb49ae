namespace XoverOpt.Acoustics;

/// <summary>What drives the socket.</summary>
/// <param name="Voltage">Open-circuit voltage, V RMS.</param>
/// <param name="Resistance">Output resistance, Ω.</param>
public sealed record Source(double Voltage, double Resistance);
