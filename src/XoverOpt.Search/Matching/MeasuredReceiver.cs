namespace XoverOpt.Search;

/// <summary>One receiver as it was measured on arrival.</summary>
/// <param name="Serial">Its serial number; no two share one.</param>
/// <param name="PartNumber">The part it is.</param>
/// <param name="SensitivityDb">Sensitivity at a stated voltage, dB; only differences between receivers of one part count.</param>
/// <param name="ResonanceHz">Resonance frequency, Hz.</param>
/// <param name="DcResistanceOhm">Coil resistance at DC, Ω.</param>
public sealed record MeasuredReceiver(string Serial, string PartNumber, double SensitivityDb, double ResonanceHz, double DcResistanceOhm);
