using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>What a build needs for a number of sets, what is there, and what must be ordered, at what price and by when.</summary>
/// <param name="Order">How it was reckoned.</param>
/// <param name="Currency">ISO 4217 code; empty where nothing bears a price.</param>
/// <param name="Lines">A line a part: receivers, dampers, tubing, resistors, capacitors, coils, each by name.</param>
public sealed record PartsList(PartsOrder Order, string Currency, IReadOnlyList<PartsLine> Lines)
{
    /// <summary>Price of the order, of the lines that have one.</summary>
    public decimal OrderTotal => Lines.Sum(line => line.OrderPrice ?? 0);

    /// <summary>Worth of the parts in all sets, of the lines that have a price.</summary>
    public decimal UseTotal => Lines.Sum(line => line.UsePrice ?? 0);

    /// <summary>Worth of the parts in one set, of the lines that have a price, in whole cents.</summary>
    public decimal CostPerSet => Math.Round(UseTotal / Order.Sets, 2, MidpointRounding.AwayFromZero);

    /// <summary>Lines without a price.</summary>
    public IReadOnlyList<PartsLine> Unpriced => [.. Lines.Where(line => line.UnitPrice is null)];

    /// <summary>The day the last part is there; null where one cannot be dated.</summary>
    public DateOnly? Complete => Lines.All(line => line.Arrives is not null) ? Lines.Max(line => line.Arrives) : null;

    /// <summary>Whether every part is there by the day it is needed; null where no day is set or a part cannot be dated.</summary>
    public bool? InTime => Order.NeededBy is not { } day || Complete is not { } complete ? null : complete <= day;

    /// <summary>Sets that can be built today from what is on the shelf and not set aside.</summary>
    public int SetsToday => Lines.Count == 0 ? 0 : (int)Lines.Min(line => Math.Min(Math.Floor(line.Available * Order.Sets / line.Need), Order.Sets));

    /// <summary>Lists the parts of a build.</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="drawer">What is on the shelf, and its prices.</param>
    /// <param name="reserved">What is set aside for other builds, by <see cref="PartsLine.Part"/>.</param>
    /// <param name="order">How many sets, by when.</param>
    public static PartsList Of(Earpiece earpiece, Inventory drawer, IReadOnlyDictionary<string, decimal> reserved, PartsOrder order)
    {
        PartsBill bill = PartsBill.Of(earpiece, drawer.Receivers, drawer.Passives, _ => (drawer.Dampers, drawer.Tubings));
        List<PartsLine> lines = [.. bill.Lines
            .GroupBy(use => PartName.Of(use.Kind, use.PartNumber, use.Value))
            .Select(part => Line(part.Key, [.. part], drawer, reserved.GetValueOrDefault(part.Key), order))
            .OrderBy(line => line.Kind).ThenBy(line => line.Part, StringComparer.Ordinal)];
        DateOnly? last = lines.All(line => line.Arrives is not null) ? lines.Max(line => line.Arrives) : null;
        return new(
            order,
            bill.Lines.Select(use => use.Supply?.Currency).FirstOrDefault(currency => currency is { Length: > 0 }) ?? "",
            [.. lines.Select(line => line with { HoldsUp = line.Shortage > 0 && (line.Arrives is null || line.Arrives == last) })]);
    }

    private static PartsLine Line(string name, PartsBill.Line[] uses, Inventory drawer, decimal reserved, PartsOrder order)
    {
        PartsBill.Line first = uses[0];
        Supply? supply = first.Supply;
        int pieces = uses.Sum(use => use.Pieces);
        decimal perEarpiece = uses.Sum(use => use.Units) + (first.Kind == PartKind.Tubing ? pieces * order.CutLossMm / 1000 : 0);
        decimal need = order.Earpieces * perEarpiece;
        decimal shortage = Math.Max(need - Math.Max((supply?.Stock ?? 0) - reserved, 0), 0);
        int pack = supply?.PackSize ?? 1;
        int packs = (int)Math.Ceiling(shortage / pack);
        return new PartsLine
        {
            Kind = first.Kind,
            Part = name,
            PartNumber = first.PartNumber,
            Description = first.Kind == PartKind.Receiver ? drawer.Receiver(first.PartNumber!)?.Maker ?? "not in the drawer" : PartName.Value(first.Kind, first.Value),
            Ways = [.. uses.Select(use => use.Way).Distinct()],
            PiecesPerEarpiece = pieces,
            Need = need,
            Stock = supply?.Stock,
            Reserved = reserved,
            PackSize = pack,
            Packs = packs,
            UnitPrice = supply?.PriceFor(packs * pack),
            LeadTimeDays = supply?.LeadTimeDays,
            Arrives = shortage == 0 ? order.Today : supply?.LeadTimeDays is { } days ? order.Today.AddDays(days) : null,
        };
    }
}
