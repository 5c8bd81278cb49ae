using System.Globalization;
using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Stock;

/// <summary>
/// What reading a sheet in would change. The sheet may be a whole export or just a column of parts and one of counts; an empty cell leaves
/// its value as it is. Where a row says which revision of the book it shows, a cell that still holds what it held then asks for nothing,
/// and one that was changed asks in vain where somebody else has changed the same value since: that is a fault, so that of two people who
/// each export, change and read in, neither undoes what the other did.
/// </summary>
/// <param name="Changes">What changes, in the order of the sheet.</param>
/// <param name="Notes">What is allowed but should be known.</param>
/// <param name="Book">The book as it would be, still under the old revision.</param>
public sealed record StockImport(IReadOnlyList<StockChange> Changes, IReadOnlyList<string> Notes, StockBook Book)
{
    /// <summary>Reads a sheet; nothing is written.</summary>
    /// <param name="csv">The sheet.</param>
    /// <param name="name">The name faults bear.</param>
    /// <param name="dialect">How it writes numbers; null to tell by what parts its cells: with semicolons go decimal commas, with commas points.</param>
    /// <param name="drawer">The drawer, its book laid over it.</param>
    /// <param name="book">The book.</param>
    /// <param name="history">The changes that led to it, oldest first.</param>
    public static Reading<StockImport> Plan(
        ReadOnlySpan<byte> csv, string name, SheetDialect? dialect, Inventory drawer, StockBook book, IReadOnlyList<StockEvent> history)
    {
        FaultList faults = new();
        if (Sheet.Read(csv, name, faults) is not { } sheet || StockSheetHead.Read(sheet, name, faults) is not { } head)
        {
            return faults.End<StockImport>(null);
        }

        if ((dialect ?? (sheet.Separator == ',' ? SheetDialect.Point : sheet.Separator == ';' ? SheetDialect.Comma : null)) is not { } numbers)
        {
            faults.Add(new(name, "line 1", "cells parted by tabs", "tabs where the decimal sign is told", "Say decimal point or decimal comma."));
            return faults.End<StockImport>(null);
        }

        IReadOnlyList<StockPart> parts = StockPart.Of(drawer);
        ILookup<string, StockPart> known = parts.ToLookup(part => Folded(part.Part));
        string currency = parts.Select(part => part.Supply?.Currency).FirstOrDefault(code => code is { Length: > 0 }) ?? book.Currency;
        IReadOnlyDictionary<string, decimal> reserved = Reservation.Sum(book.Reservations);
        Dictionary<string, StockEntry> entries = book.Parts.ToDictionary(entry => entry.Part);
        Dictionary<string, int> seen = [];
        List<StockChange> changes = [];
        List<string> notes = [];
        foreach (SheetRow row in sheet.Rows.Skip(1))
        {
            if (row.Cells.Skip(head.Count).Any(cell => cell.Trim().Length > 0))
            {
                faults.Add(new(name, $"line {row.Line}", $"{row.Cells.Count} cells", $"{head.Count}, as the headings", "A decimal comma parts a number in two where commas part the cells."));
                continue;
            }

            if (head.Cell(row, StockSheet.PartColumn, numbers, faults) is not { Text: { } written } named || written.Trim().Length == 0)
            {
                faults.Add(new(name, head.Place(row, StockSheet.PartColumn), "nothing", "the name of a part"));
                continue;
            }

            string meant = SheetDialect.Meant(written);
            if (known[Folded(meant)].FirstOrDefault(part => part.Part == meant) is not { } part && (part = known[Folded(meant)].FirstOrDefault()) is null)
            {
                named.Refuse("a part of the drawer, by the name that an export gives it", Nearest.Hint(meant, parts.Select(other => other.Part)));
            }
            else if (!seen.TryAdd(part.Part, row.Line))
            {
                named.Refuse($"each part once; it stands in line {seen[part.Part]} already");
            }
            else
            {
                Row(row, part);
            }
        }

        return faults.End(new StockImport(changes, notes, book with { Currency = entries.Values.Any(entry => entry.UnitPrice is not null) ? currency : book.Currency, Parts = [.. entries.Values] }));

        void Row(SheetRow row, StockPart part)
        {
            int before = faults.Count;
            long? revision = Revision(row);
            ReadCurrency(row);
            StockEntry entry = entries.GetValueOrDefault(part.Part) ?? new(part.Part);
            List<StockChange> asked = [];
            foreach (StockField field in StockField.All)
            {
                if (head.Cell(row, field.Heading, numbers, faults) is not { } cell || cell.Text.Trim().Length == 0 || field.Read(cell, part) is not { } wanted)
                {
                    continue;
                }

                string? now = field.Of(part.Supply);
                (StockEvent Event, StockChange Change)? since = revision is null ? null : Since(part.Part, field.Heading, revision.Value);
                if (wanted == now || (since is { } earlier && wanted == earlier.Change.From) || (now is null && wanted == StockField.NoBreaks))
                {
                    continue;
                }

                if (since is { } other)
                {
                    cell.Refuse(
                        $"what it was when the sheet was made ({other.Change.From ?? "nothing"}), or what it is now ({now})",
                        $"{other.Event.Who} changed it on {other.Event.When:yyyy-MM-dd} after that; export again and look at both.");
                    continue;
                }

                entry = field.Put(entry, wanted);
                asked.Add(new(part.Part, field.Heading, now, wanted));
            }

            Supply supply = entry.Over(part.Supply, currency);
            if (asked.Count == 0 || faults.Count > before)
            {
                return;
            }

            Check(row, part, entry, supply);
            changes.AddRange(asked);
            entries[part.Part] = entry;
        }

        void Check(SheetRow row, StockPart part, StockEntry entry, Supply supply)
        {
            if (part.Entries > 1)
            {
                faults.Add(new(name, head.Place(row, StockSheet.PartColumn), $"\"{part.Part}\", which {part.Entries} entries of the drawer are called", "parts with a name of their own", "Give those entries a partNumber in the catalogue."));
            }

            if ((entry.PriceBreaks ?? part.Supply?.PriceBreaks) is [var first, ..] && (supply.UnitPrice is null || first.UnitPrice > supply.UnitPrice))
            {
                faults.Add(new(
                    name,
                    head.Place(row, head.Has("price breaks") ? "price breaks" : "unit price"),
                    $"{numbers.Number(first.UnitPrice)} from {numbers.Number(first.From)} on, with a unit price of {(supply.UnitPrice is { } price ? numbers.Number(price) : "nothing")}",
                    "price breaks not above the unit price",
                    "Change both."));
            }

            if (supply is { UnitPrice: not null, Currency: "" } || (entry.UnitPrice is not null && currency.Length == 0))
            {
                faults.Add(new(name, head.Place(row, "unit price"), "a price without a currency", $"prices beside a column {StockSheet.CurrencyColumn}, such as EUR"));
            }

            if (supply.Stock < reserved.GetValueOrDefault(part.Part))
            {
                notes.Add(string.Create(CultureInfo.InvariantCulture, $"{part.Part}: {reserved[part.Part]:0.###} are set aside, {supply.Stock:0.###} would be there."));
            }
        }

        void ReadCurrency(SheetRow row)
        {
            if (head.Cell(row, StockSheet.CurrencyColumn, numbers, faults) is not { } cell || cell.Text.Trim() is not { Length: > 0 } code || code == currency)
            {
                return;
            }

            if (currency.Length > 0)
            {
                cell.Refuse($"one currency in the whole drawer, here {currency}", "Prices in two currencies cannot be summed.");
            }
            else if (code.Length != 3 || !code.All(char.IsAsciiLetterUpper))
            {
                cell.Refuse("a currency code of three capital letters (ISO 4217), such as EUR");
            }
            else
            {
                currency = code;
            }
        }

        long? Revision(SheetRow row)
        {
            if (head.Cell(row, StockSheet.RevisionColumn, numbers, faults) is not { } cell || cell.Text.Trim().Length == 0)
            {
                return null;
            }

            if (long.TryParse(cell.Text.Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out long revision) && revision <= book.Revision)
            {
                return revision;
            }

            cell.Refuse(string.Create(CultureInfo.InvariantCulture, $"a revision of this drawer's stock book, 0 to {book.Revision}"), "Leave the column out to change values whatever they are now.");
            return null;
        }

        (StockEvent, StockChange)? Since(string part, string field, long revision) => history
            .Where(made => made.Revision > revision)
            .SelectMany(made => made.Changes.Where(change => change.Part == part && change.Field == field).Select(change => ((StockEvent, StockChange)?)(made, change)))
            .FirstOrDefault();
    }

    // Ω and µ stand in Unicode twice each, and programs exchange them.
    private static string Folded(string name) => name.Trim().Replace('\u2126', '\u03A9').Replace('\u03BC', '\u00B5');
}
