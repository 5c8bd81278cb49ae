using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// What a job may take from the drawer. Where stock decides, a part counts only when its stated stock serves every set;
/// a part with no stated stock does not count.
/// </summary>
/// <param name="StockOnly">Whether stock decides.</param>
/// <param name="Sets">How many sets it must serve.</param>
/// <param name="EarpiecesPerSet">Earpieces in a set.</param>
internal sealed record StockRule(bool StockOnly, int Sets, int EarpiecesPerSet)
{
    /// <summary>Whether a part may be used.</summary>
    /// <param name="supply">Its price and stock.</param>
    /// <param name="perEarpiece">Least number (metres of tubing) in one earpiece.</param>
    public bool Serves(Supply? supply, decimal perEarpiece = 1) => !StockOnly || supply?.Stock >= Sets * EarpiecesPerSet * perEarpiece;

    /// <summary>Every value of the stock that may be used, rising, one part a value: the cheapest.</summary>
    public StockValue[] All(IEnumerable<StockValue> stock, decimal perEarpiece = 1) =>
        [.. stock.Where(part => Serves(part.Supply, perEarpiece)).DistinctBy(part => part.Value).OrderBy(part => part.Value)];

    /// <summary>
    /// Listed values, rising, each with the drawer's cheapest part of that value. One the drawer lacks stands bare, or is passed over
    /// where stock decides.
    /// </summary>
    public StockValue[] Listed(IEnumerable<double> values, IReadOnlyList<StockValue> stock, decimal perEarpiece = 1)
    {
        Dictionary<double, StockValue> held = All(stock, perEarpiece).ToDictionary(part => part.Value);
        return
        [
            .. values.Distinct().Order()
                .Select(value => held.TryGetValue(value, out StockValue? part) ? part : StockOnly ? null : new StockValue(value, null, null, 0, null))
                .OfType<StockValue>(),
        ];
    }
}
