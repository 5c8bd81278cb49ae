using System.Text.Json.Serialization;
using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop.Stock;

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

    /// <summary>Worth of the parts in one set, of the lines that have a price, in whole cents; null in a list of several builds.</summary>
    public decimal? CostPerSet => OneBuild ? PartsLine.Cents(UseTotal / Order.Sets) : null;

    /// <summary>Lines without a price.</summary>
    [JsonIgnore]
    public IReadOnlyList<PartsLine> Unpriced => [.. Lines.Where(line => line.UnitPrice is null)];

    /// <summary>The day the last part is there; null where one cannot be dated.</summary>
    public DateOnly? Complete => Lines.All(line => line.Arrives is not null) ? Lines.Max(line => line.Arrives) : null;

    /// <summary>Whether every part is there by the day it is needed; null where no day is set or a part cannot be dated.</summary>
    public bool? InTime => Order.NeededBy is not { } day || Complete is not { } complete ? null : complete <= day;

    /// <summary>Sets that can be built today from what is on the shelf and not set aside for others; never more than asked for. Null in a list of several builds.</summary>
    public int? SetsToday => SetsOn(null);

    /// <summary>Sets whose parts are there by the day they are needed; null where no day is set, and in a list of several builds.</summary>
    public int? SetsInTime => Order.NeededBy is { } day ? SetsOn(day) : null;

    /// <summary>The last day on which the order can go out so that all is there in time; null where no day is set or a part cannot be dated.</summary>
    public DateOnly? OrderBy => Order.NeededBy is { } day && Complete is { } complete ? day.AddDays(Order.Today.DayNumber - complete.DayNumber) : null;

    /// <summary>Lists the parts of a build.</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="drawer">What is on the shelf, and its prices.</param>
    /// <param name="reserved">What is set aside for other builds, by <see cref="PartsLine.Part"/>.</param>
    /// <param name="order">How many sets, by when.</param>
    public static PartsList Of(Earpiece earpiece, Inventory drawer, IReadOnlyDictionary<string, decimal> reserved, PartsOrder order) =>
        Of(PartsNeed.Of(earpiece, drawer, order), reserved, order);

    /// <summary>Lists the parts of a build with what the drawer's stock book sets aside: for others it is not to be had, for this build it is.</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="drawer">What is on the shelf, and its prices.</param>
    /// <param name="order">How many sets, by when.</param>
    public static PartsList Of(Earpiece earpiece, Inventory drawer, PartsOrder order)
    {
        string mark = Reservation.MarkOf(earpiece);
        IReadOnlyDictionary<string, decimal> kept = Reservation.Sum(drawer.Reservations.Where(reservation => reservation.Build == mark));
        PartsList list = Of(earpiece, drawer, Reservation.Sum(drawer.Reservations.Where(reservation => reservation.Build != mark)), order);
        return list with { Lines = [.. list.Lines.Select(line => line with { Kept = kept.GetValueOrDefault(line.Part) })] };
    }

    /// <summary>Lists parts by what is needed of them.</summary>
    /// <param name="needs">The needs, a part each.</param>
    /// <param name="reserved">What is set aside for other builds, by <see cref="PartsLine.Part"/>.</param>
    /// <param name="order">How many sets, by when.</param>
    public static PartsList Of(IReadOnlyList<PartsNeed> needs, IReadOnlyDictionary<string, decimal> reserved, PartsOrder order)
    {
        List<PartsLine> lines = [.. needs.Select(need => Line(need, reserved.GetValueOrDefault(need.Part), order)).OrderBy(line => line.Kind).ThenBy(line => line.Part, StringComparer.Ordinal)];
        DateOnly? last = lines.All(line => line.Arrives is not null) ? lines.Max(line => line.Arrives) : null;
        return new(
            order,
            needs.Select(need => need.Supply?.Currency).FirstOrDefault(currency => currency is { Length: > 0 }) ?? "",
            [.. lines.Select(line => line with { HoldsUp = line.Shortage > 0 && (line.Arrives is null || line.Arrives == last) })]);
    }

    private bool OneBuild => Lines.All(line => line.PiecesPerEarpiece is not null);

    // What is short counts from the day on which it arrives.
    private int? SetsOn(DateOnly? day) => !OneBuild ? null
        : Lines.Count == 0 ? 0
        : (int)Lines.Min(line => line.Shortage == 0 || line.Arrives <= day ? Order.Sets : Math.Floor(line.Available * Order.Sets / line.Need));

    private static PartsLine Line(PartsNeed need, decimal reserved, PartsOrder order)
    {
        Supply? supply = need.Supply;
        decimal shortage = Math.Max(need.Need - Math.Max((supply?.Stock ?? 0) - reserved, 0), 0);
        int pack = supply?.PackSize ?? 1;
        int packs = (int)Math.Ceiling(shortage / pack);
        return new PartsLine
        {
            Kind = need.Kind,
            Part = need.Part,
            PartNumber = need.PartNumber,
            Description = need.Description,
            Ways = need.Ways,
            PiecesPerEarpiece = need.PiecesPerEarpiece,
            Need = need.Need,
            Stock = supply?.Stock,
            Reserved = reserved,
            PackSize = pack,
            Packs = packs,
            UnitPrice = supply?.PriceFor((decimal)packs * pack),
            Cheaper = packs == 0 ? null : CheaperOrder.Than(packs, pack, supply),
            LeadTimeDays = supply?.LeadTimeDays,
            Arrives = shortage == 0 ? order.Today : supply?.LeadTimeDays is { } days ? order.Today.AddDays(days) : null,
        };
    }
}
