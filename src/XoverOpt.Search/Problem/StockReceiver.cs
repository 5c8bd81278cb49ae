using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>A receiver in the drawer: its physics and what the workshop knows of it.</summary>
/// <param name="Receiver">The physics.</param>
/// <param name="Maker">Who makes it.</param>
/// <param name="Description">In a few words.</param>
/// <param name="Tags">Labels by which jobs pick receivers.</param>
/// <param name="Body">Outer size; null where not stated.</param>
/// <param name="Spread">Part spread; null where not stated.</param>
/// <param name="Supply">Price and stock; null where not stated.</param>
public sealed record StockReceiver(
    Receiver Receiver,
    string Maker,
    string Description,
    IReadOnlyList<string> Tags,
    Body? Body,
    Spread? Spread,
    Supply? Supply);

/// <summary>Outer size of a receiver, m.</summary>
public sealed record Body(double Length, double Width, double Height)
{
    /// <summary>Volume of the box, m³.</summary>
    public double Volume => Length * Width * Height;
}

/// <summary>One standard deviation of a receiver's part spread.</summary>
/// <param name="SensitivityDb">Sensitivity, dB.</param>
/// <param name="ResonancePercent">Resonance frequency, %.</param>
/// <param name="DcResistancePercent">DC resistance, %.</param>
public sealed record Spread(double SensitivityDb, double ResonancePercent, double DcResistancePercent);

/// <summary>Price and stock of a part. Money is decimal, in <paramref name="Currency"/>.</summary>
/// <param name="UnitPrice">Price of one (of one metre for tubing).</param>
/// <param name="Currency">ISO 4217 code.</param>
/// <param name="Stock">How many are at hand (metres for tubing).</param>
/// <param name="LeadTimeDays">Days until more arrive.</param>
/// <param name="PackSize">Sold in packs of this many.</param>
public sealed record Supply(decimal? UnitPrice, string Currency, decimal? Stock, int? LeadTimeDays, int PackSize)
{
    /// <summary>Lower prices of one for larger orders, by rising quantity; empty where there are none.</summary>
    public IReadOnlyList<PriceBreak> PriceBreaks { get; init; } = [];

    /// <summary>Price of one when so many are ordered; null where no price is known.</summary>
    public decimal? PriceFor(decimal quantity) => PriceBreaks.LastOrDefault(step => step.From <= quantity)?.UnitPrice ?? UnitPrice;
}

/// <summary>A lower price of one from a quantity on.</summary>
/// <param name="From">The least quantity.</param>
/// <param name="UnitPrice">Price of one (of one metre for tubing).</param>
public sealed record PriceBreak(decimal From, decimal UnitPrice);
