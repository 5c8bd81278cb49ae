using System.Globalization;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>A parts list as a sheet: a row a part, then the totals.</summary>
public static class PartsSheet
{
    /// <summary>The rows, with a heading.</summary>
    public static IEnumerable<IReadOnlyList<object?>> Rows(PartsList list)
    {
        string money = list.Currency.Length > 0 ? $" {list.Currency}" : "";
        yield return
        [
            "kind", "part", "description", "ways", "pieces per earpiece", "unit", "need", "stock", "reserved", "kept for this build", "available", "shortage", "packs", "pack size",
            "ordered", "unit price" + money, "order price" + money, "use price" + money, "lead time days", "arrives", "holds up",
        ];
        foreach (PartsLine line in list.Lines)
        {
            yield return
            [
                line.Kind.ToString().ToLowerInvariant(), line.Part, line.Description, string.Join(" + ", line.Ways), line.PiecesPerEarpiece, line.Unit, line.Need, line.Stock,
                line.Reserved, line.Kept, line.Available, line.Shortage, line.Packs, line.PackSize, line.Ordered, line.UnitPrice, line.OrderPrice, line.UsePrice, line.LeadTimeDays,
                line.Arrives, line.HoldsUp,
            ];
        }

        yield return Total(string.Create(CultureInfo.InvariantCulture, $"{list.Order.Sets} sets"), list.OrderTotal, list.UseTotal, list.Complete);
        if (list.CostPerSet is { } set)
        {
            yield return Total("one set", null, set, null);
        }
    }

    private static object?[] Total(string what, decimal? order, decimal use, DateOnly? arrives) =>
        ["total", what, null, null, null, null, null, null, null, null, null, null, null, null, null, null, order, use, null, arrives, null];
}
