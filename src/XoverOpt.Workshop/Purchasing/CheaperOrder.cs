using XoverOpt.Search;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>More of a part for less money than what is needed would cost.</summary>
/// <param name="Packs">Packs to order.</param>
/// <param name="Ordered">Pieces (metres) in them.</param>
/// <param name="OrderPrice">What they cost, in whole cents.</param>
public sealed record CheaperOrder(int Packs, decimal Ordered, decimal OrderPrice)
{
    /// <summary>The cheapest order of more packs; null where none costs less.</summary>
    /// <param name="packs">Packs that are needed, ≥ 1.</param>
    /// <param name="pack">Pieces (metres) in a pack.</param>
    /// <param name="supply">Price and price breaks.</param>
    public static CheaperOrder? Than(int packs, int pack, Supply? supply)
    {
        decimal needed = (decimal)packs * pack;
        decimal? price = PartsLine.Cents(needed * supply?.PriceFor(needed));
        return (supply?.PriceBreaks ?? [])
            .Where(step => step.From > needed)
            .Select(step => (Packs: Math.Ceiling(step.From / pack), Quantity: Math.Ceiling(step.From / pack) * pack))
            .Where(order => order.Packs <= int.MaxValue)
            .Select(order => new CheaperOrder((int)order.Packs, order.Quantity, PartsLine.Cents(order.Quantity * supply!.PriceFor(order.Quantity))!.Value))
            .Where(order => order.OrderPrice < price)
            .MinBy(order => order.OrderPrice);
    }
}
