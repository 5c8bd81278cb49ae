using System.Globalization;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Stock;

/// <summary>A value of a part that a stock sheet can change.</summary>
/// <param name="Heading">The heading of its column.</param>
/// <param name="Of">Its value in a supply as text with a decimal point, each value in one way only; null where it is not stated.</param>
/// <param name="Read">Its value in a cell as the same text; null after a fault.</param>
/// <param name="Put">An entry of the book with that value.</param>
internal sealed record StockField(
    string Heading, Func<Supply?, string?> Of, Func<StockCell, StockPart, string?> Read, Func<StockEntry, string, StockEntry> Put)
{
    /// <summary>What stands in a cell where there are no price breaks.</summary>
    public const string NoBreaks = "none";

    private const string Break = " at ", Between = " / ";

    /// <summary>All, in the order of the columns.</summary>
    public static IReadOnlyList<StockField> All { get; } =
    [
        new(
            "stock",
            supply => Text(supply?.Stock),
            (cell, part) => Text(part.Unit == "m" ? cell.Number(1_000_000_000, 5) : cell.Whole(0, 1_000_000_000)),
            (entry, text) => entry with { Stock = Amount(text) }),
        new("unit price", supply => Text(supply?.UnitPrice), (cell, _) => Text(cell.Number(1_000_000, 6)), (entry, text) => entry with { UnitPrice = Amount(text) }),
        new("pack size", supply => Text(supply?.PackSize), (cell, _) => Text(cell.Whole(1, 1_000_000)), (entry, text) => entry with { PackSize = (int)Amount(text) }),
        new("lead time days", supply => Text(supply?.LeadTimeDays), (cell, _) => Text(cell.Whole(0, 3650)), (entry, text) => entry with { LeadTimeDays = (int)Amount(text) }),
        new(
            "price breaks",
            supply => supply is null ? null : Breaks(supply.PriceBreaks, number => Text(number)!),
            (cell, _) => ReadBreaks(cell),
            (entry, text) => entry with { PriceBreaks = Steps(text) }),
    ];

    /// <summary>Price breaks in words, such as "100 at 8.4 / 500 at 7.9".</summary>
    public static string Breaks(IReadOnlyList<PriceBreak> breaks, Func<decimal, string> number) =>
        breaks.Count == 0 ? NoBreaks : string.Join(Between, breaks.Select(step => $"{number(step.From)}{Break}{number(step.UnitPrice)}"));

    private static string? ReadBreaks(StockCell cell)
    {
        if (cell.Text.Trim().Equals(NoBreaks, StringComparison.OrdinalIgnoreCase))
        {
            return NoBreaks;
        }

        List<PriceBreak> breaks = [];
        foreach (string[] sides in cell.Text.Split('/').Select(step => step.Split(Break.Trim(), StringSplitOptions.TrimEntries)))
        {
            if (sides.Length != 2)
            {
                cell.Refuse($"\"{NoBreaks}\", or quantities and prices such as \"{Example(cell)}\"");
                return null;
            }

            if ((cell with { Text = sides[0] }).Number(1_000_000_000, 5) is not { } from || (cell with { Text = sides[1] }).Number(1_000_000, 6) is not { } price)
            {
                return null;
            }

            if (from <= (breaks.Count == 0 ? 0 : breaks[^1].From) || (breaks.Count > 0 && price > breaks[^1].UnitPrice))
            {
                cell.Refuse("rising quantities above 0, with prices that do not rise");
                return null;
            }

            breaks.Add(new(from, price));
        }

        return Breaks(breaks, number => Text(number)!);
    }

    private static string Example(StockCell cell) => Breaks([new(100, 8.4m), new(500, 7.9m)], cell.Dialect.Number);

    private static PriceBreak[] Steps(string text) => text == NoBreaks
        ? []
        : [.. text.Split(Between).Select(step => step.Split(Break)).Select(sides => new PriceBreak(Amount(sides[0]), Amount(sides[1])))];

    private static decimal Amount(string text) => decimal.Parse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);

    private static string? Text(decimal? value) => value?.ToString("0.############", CultureInfo.InvariantCulture);
}
