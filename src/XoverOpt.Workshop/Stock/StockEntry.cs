using XoverOpt.Search;

namespace XoverOpt.Workshop.Stock;

/// <summary>
/// What the stock book says of one part. Each value that is there takes the place of the catalogue's; one that is null leaves it as the
/// catalogue has it.
/// </summary>
/// <param name="Part">The part, by <see cref="Purchasing.PartName"/>.</param>
public sealed record StockEntry(string Part)
{
    /// <summary>On the shelf, pieces, metres for tubing.</summary>
    public decimal? Stock { get; init; }

    /// <summary>Price of one, below the first break.</summary>
    public decimal? UnitPrice { get; init; }

    /// <summary>Pieces (metres) in a pack.</summary>
    public int? PackSize { get; init; }

    /// <summary>Days from order to shelf.</summary>
    public int? LeadTimeDays { get; init; }

    /// <summary>Lower prices for larger orders; an empty list says that there are none.</summary>
    public IReadOnlyList<PriceBreak>? PriceBreaks { get; init; }

    /// <summary>The supply of the part: the catalogue's, with this laid over it.</summary>
    /// <param name="catalogue">What the catalogue says; null where it says nothing.</param>
    /// <param name="currency">The currency of the book's prices.</param>
    public Supply Over(Supply? catalogue, string currency)
    {
        decimal? price = UnitPrice ?? catalogue?.UnitPrice;
        return new Supply(
            price,
            catalogue?.Currency is { Length: > 0 } known ? known : currency,
            Stock ?? catalogue?.Stock,
            LeadTimeDays ?? catalogue?.LeadTimeDays,
            PackSize ?? catalogue?.PackSize ?? 1)
        {
            // A break of the catalogue above a price that has fallen since would make more pieces dearer each.
            PriceBreaks = [.. (PriceBreaks ?? catalogue?.PriceBreaks ?? []).Where(step => step.UnitPrice <= price)],
        };
    }
}
