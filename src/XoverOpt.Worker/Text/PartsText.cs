using System.Globalization;
using XoverOpt.Worker.Analyses;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Worker.Text;

/// <summary>A parts list as purchasing reads it.</summary>
internal static class PartsText
{
    private const string Dash = "–";

    /// <summary>The lines.</summary>
    public static IEnumerable<string> Lines(PartsView view)
    {
        PartsOrder order = view.Parts.Order;
        string by = order.NeededBy is { } day ? $", needed by {Day(day)}" : "";
        yield return Invariant($"Parts of {view.Build}: {order.Sets} sets, {order.Earpieces} earpieces; order of {Day(order.Today)}{by}");
        yield return "";
        yield return order.NeededBy is { } wanted ? Invariant($"Can {order.Sets} sets be built by {Day(wanted)}?") : Invariant($"When can {order.Sets} sets be built?");
        yield return "  " + view.Answer;
        yield return "";
        foreach (string line in Table(view.Parts))
        {
            yield return line;
        }

        yield return "";
        foreach (string line in Totals(view.Parts))
        {
            yield return line;
        }

        yield return Invariant($"  parts of one set  {Money(view.Parts.CostPerSet ?? 0)} {view.Parts.Currency}");
    }

    /// <summary>The parts as a table, with what should be known of them below.</summary>
    /// <param name="list">The parts.</param>
    /// <param name="used">What to call the places they are used in; as they stand where left out.</param>
    public static IEnumerable<string> Table(PartsList list, Func<string, string>? used = null)
    {
        string money = list.Currency.Length > 0 ? " " + list.Currency : "";
        bool kept = list.Lines.Any(line => line.Kept > 0);
        string[] heads = ["<", "<part", "<what", "<used in", "need", "stock", "for others", .. kept ? ["for this"] : Array.Empty<string>(), "short", "packs", "order", "each" + money, "price" + money, "days", "arrives"];
        foreach (string line in TextTable.Lines(heads, list.Lines.Select(line => (IReadOnlyList<string>)
            [
                line.HoldsUp ? "►" : "",
                line.Part,
                line.Part.Contains(line.Description, StringComparison.Ordinal) ? "" : line.Description,
                string.Join(' ', line.Ways.Select(used ?? (way => way))),
                Count(line.Need) + (line.Unit == "m" ? " m" : ""),
                line.Stock is { } stock ? Count(stock) : Dash,
                line.Reserved > 0 ? Count(line.Reserved) : Dash,
                .. kept ? [line.Kept > 0 ? Count(line.Kept) : Dash] : Array.Empty<string>(),
                line.Shortage > 0 ? Count(line.Shortage) : Dash,
                line.Packs > 0 ? Invariant($"{line.Packs} × {line.PackSize}") : Dash,
                line.Packs > 0 ? Count(line.Ordered) : Dash,
                line.UnitPrice is { } price ? price.ToString("0.00####", CultureInfo.InvariantCulture) : Dash,
                line.Packs == 0 ? Dash : line.OrderPrice is { } amount ? Money(amount) : "?",
                line.LeadTimeDays is { } days ? Count(days) : Dash,
                line.Shortage == 0 ? "there" : line.Arrives is { } day ? Day(day) : "?",
            ])))
        {
            yield return line;
        }

        if (list.Lines.Any(line => line.HoldsUp))
        {
            yield return "► holds the build up: it comes last, or nothing says when it comes.";
        }

        foreach (PartsLine line in list.Lines.Where(line => line.Cheaper is not null))
        {
            yield return Invariant($"{line.Part}: {Count(line.Cheaper!.Ordered)} ({line.Cheaper.Packs} packs) would cost {Money(line.Cheaper.OrderPrice)}, less than the {Count(line.Ordered)} for {Money(line.OrderPrice!.Value)}.");
        }

        if (list.Unpriced.Count > 0)
        {
            yield return $"Without a price, and so not in the totals: {string.Join(", ", list.Unpriced.Select(line => line.Part))}.";
        }
    }

    /// <summary>What is ordered and what is used.</summary>
    public static IEnumerable<string> Totals(PartsList list)
    {
        yield return Invariant($"  to order          {Money(list.OrderTotal)} {list.Currency} for {list.Lines.Count(line => line.Packs > 0)} of {list.Lines.Count} parts");
        yield return Invariant($"  parts in all sets {Money(list.UseTotal)} {list.Currency}");
    }

    /// <summary>Money with its cents.</summary>
    public static string Money(decimal amount) => amount.ToString("0.00", CultureInfo.InvariantCulture);

    /// <summary>A count, or metres.</summary>
    public static string Count(decimal count) => count.ToString("0.###", CultureInfo.InvariantCulture);

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
