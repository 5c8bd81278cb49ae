using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Stock;

/// <summary>The stock of a drawer as a sheet to change and read in again.</summary>
public static class StockSheet
{
    /// <summary>The column that names the part.</summary>
    public const string PartColumn = "part";

    /// <summary>The column that says which revision of the book a row shows.</summary>
    public const string RevisionColumn = "revision";

    /// <summary>The column of the prices' currency.</summary>
    public const string CurrencyColumn = "currency";

    /// <summary>The columns that are there to be read only; what they hold is passed over when the sheet is read in.</summary>
    public static IReadOnlyList<string> Shown { get; } = ["kind", "description", "unit", "reserved"];

    /// <summary>The headings that can be changed.</summary>
    public static IReadOnlyList<string> Changed { get; } = [.. StockField.All.Select(field => field.Heading)];

    /// <summary>The rows, with a heading.</summary>
    /// <param name="drawer">The drawer, its book laid over it.</param>
    /// <param name="revision">The book's revision.</param>
    /// <param name="dialect">How numbers are written within text.</param>
    public static IEnumerable<IReadOnlyList<object?>> Rows(Inventory drawer, long revision, SheetDialect dialect)
    {
        IReadOnlyDictionary<string, decimal> reserved = Reservation.Sum(drawer.Reservations);
        yield return [PartColumn, "kind", "description", "stock", "unit", "reserved", "unit price", CurrencyColumn, "pack size", "lead time days", "price breaks", RevisionColumn];
        foreach (StockPart part in StockPart.Of(drawer))
        {
            yield return
            [
                part.Part, part.Kind.ToString().ToLowerInvariant(), part.Description, part.Supply?.Stock, part.Unit, reserved.GetValueOrDefault(part.Part), part.Supply?.UnitPrice,
                part.Supply?.Currency, part.Supply?.PackSize, part.Supply?.LeadTimeDays, part.Supply is null ? null : StockField.Breaks(part.Supply.PriceBreaks, dialect.Number),
                (decimal)revision,
            ];
        }
    }
}
