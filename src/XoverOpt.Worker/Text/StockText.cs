using System.Globalization;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Worker.Text;

/// <summary>Stock, changes and reservations as purchasing reads them.</summary>
internal static class StockText
{
    /// <summary>What is in the drawer.</summary>
    public static IEnumerable<string> Stock(Inventory drawer, long revision)
    {
        IReadOnlyDictionary<string, decimal> reserved = Reservation.Sum(drawer.Reservations);
        IReadOnlyList<StockPart> parts = StockPart.Of(drawer);
        string currency = parts.Select(part => part.Supply?.Currency).FirstOrDefault(code => code is { Length: > 0 }) ?? "";
        return TextTable.Lines(
            ["<part", "<what", "stock", "set aside", "<unit", $"each {currency}".TrimEnd(), "pack", "days", "<price breaks"],
            parts.Select(part => (IReadOnlyList<string>)
            [
                part.Part,
                part.Part.Contains(part.Description, StringComparison.Ordinal) ? "" : part.Description,
                Text(part.Supply?.Stock),
                reserved.TryGetValue(part.Part, out decimal aside) ? Text(aside) : "–",
                part.Unit,
                part.Supply?.UnitPrice?.ToString("0.00####", CultureInfo.InvariantCulture) ?? "–",
                Text(part.Supply?.PackSize),
                Text(part.Supply?.LeadTimeDays),
                part.Supply is { PriceBreaks.Count: > 0 } supply ? string.Join(", ", supply.PriceBreaks.Select(step => FormattableString.Invariant($"{step.From:0.###} at {step.UnitPrice:0.00####}"))) : "",
            ]))
            .Append("")
            .Append(FormattableString.Invariant($"{parts.Count} parts, stock book at revision {revision}"))
            .Concat(drawer.Reservations.Select(reservation => $"set aside: {One(reservation)}"));
    }

    /// <summary>A reservation in a line.</summary>
    public static string One(Reservation reservation) =>
        FormattableString.Invariant($"{reservation.Id}, {reservation.Sets} sets of {reservation.Label}, by {reservation.Who} on {reservation.When:yyyy-MM-dd}: ")
        + string.Join(", ", reservation.Lines.Select(line => $"{Text(line.Quantity)} × {line.Part}"));

    /// <summary>What reading a sheet in changes.</summary>
    public static IEnumerable<string> Import(StockImport import, bool dryRun)
    {
        foreach (string line in Changes(import.Changes).Concat(import.Notes.Select(note => "note: " + note)))
        {
            yield return line;
        }

        string values = import.Changes.Count == 1 ? "1 value" : FormattableString.Invariant($"{import.Changes.Count} values");
        yield return import.Changes.Count == 0 ? "nothing changes" : dryRun ? $"{values} would change; nothing was written" : $"{values} changed";
    }

    /// <summary>The history, oldest first.</summary>
    public static IEnumerable<string> History(IEnumerable<StockEvent> events, string? part)
    {
        foreach (StockEvent made in events)
        {
            StockChange[] shown = [.. made.Changes.Where(change => part is null || change.Part == part)];
            if (shown.Length > 0)
            {
                yield return FormattableString.Invariant($"{made.Revision}  {made.When:yyyy-MM-dd HH:mm}Z  {made.Who}: {made.What}{(made.Note is null ? "" : " " + made.Note)}");
                foreach (string line in Changes(shown))
                {
                    yield return "   " + line;
                }
            }
        }
    }

    private static IEnumerable<string> Changes(IReadOnlyCollection<StockChange> changes) => changes.Count == 0
        ? []
        : TextTable.Lines(["<part", "<value", "from", "to"], changes.Select(change => (IReadOnlyList<string>)[change.Part, change.Field, change.From ?? "–", change.To]));

    private static string Text(decimal? number) => number?.ToString("0.###", CultureInfo.InvariantCulture) ?? "–";
}
