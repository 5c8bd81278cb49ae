namespace XoverOpt.Workshop.Stock;

/// <summary>One change of a stock book.</summary>
/// <param name="Revision">Its number; each change has a larger one than those before.</param>
/// <param name="After">The revision it was made on; a change on whose number nothing was built never came into force.</param>
/// <param name="When">When.</param>
/// <param name="Who">Who made it, as they named themselves.</param>
/// <param name="What">"import", "reserve" or "release".</param>
/// <param name="Note">In words; null where the changes say it all.</param>
/// <param name="Changes">What changed.</param>
public sealed record StockEvent(
    long Revision, long After, DateTimeOffset When, string Who, string What, string? Note, IReadOnlyList<StockChange> Changes);

/// <summary>One value that changed.</summary>
/// <param name="Part">The part.</param>
/// <param name="Field">Which value, by the heading of its column: "stock", "unit price" and so on, or "reserved".</param>
/// <param name="From">What it was, with a decimal point; null where nothing was stated.</param>
/// <param name="To">What it is now.</param>
public sealed record StockChange(string Part, string Field, string? From, string To);
