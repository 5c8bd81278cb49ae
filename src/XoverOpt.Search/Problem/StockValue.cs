namespace XoverOpt.Search;

/// <summary>
/// A value that can be bought: a resistor, capacitor, coil, damper or tubing of that value.
/// </summary>
/// <param name="Value">SI: Ω, F, H, Pa·s/m³ or m.</param>
/// <param name="PartNumber">The part it is bought under; null for a value a job lists outright.</param>
/// <param name="TolerancePercent">Tolerance; null where not stated.</param>
/// <param name="LossResistance">ESR of a capacitor or DCR of a coil, Ω.</param>
/// <param name="Supply">Price and stock; null where not stated.</param>
public sealed record StockValue(double Value, string? PartNumber, double? TolerancePercent, double LossResistance, Supply? Supply);

/// <summary>The network parts that may be used, each list rising; an empty list forbids the kind.</summary>
public sealed record PassiveStock(
    IReadOnlyList<StockValue> Resistors,
    IReadOnlyList<StockValue> Capacitors,
    IReadOnlyList<StockValue> Coils);
