using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Stock;

/// <summary>A part of the drawer with its supply, as a stock sheet lists it.</summary>
/// <param name="Part">Its name.</param>
/// <param name="Kind">What it is.</param>
/// <param name="Description">Maker, or value in words.</param>
/// <param name="Supply">Price and stock; null where nothing is known.</param>
/// <param name="Entries">How many entries of the drawer bear that name: more than one only where entries without a part number share a value.</param>
public sealed record StockPart(string Part, PartKind Kind, string Description, Supply? Supply, int Entries)
{
    /// <summary>"pieces" or "m".</summary>
    public string Unit => Kind == PartKind.Tubing ? "m" : "pieces";

    /// <summary>The parts of a drawer, in the order of a parts list.</summary>
    public static IReadOnlyList<StockPart> Of(Inventory drawer) =>
    [
        .. drawer.Receivers.Select(receiver => (Kind: PartKind.Receiver, Name: receiver.Receiver.PartNumber, Description: receiver.Maker, receiver.Supply))
            .Concat(Values(PartKind.Damper, drawer.Dampers))
            .Concat(Values(PartKind.Tubing, drawer.Tubings))
            .Concat(PassiveKind.All.SelectMany(kind => Values(kind.Part, kind.In(drawer.Passives))))
            .GroupBy(part => part.Name)
            // Of entries alike in name the first is the cheapest, the one that builds are reckoned with.
            .Select(part => new StockPart(part.Key, part.First().Kind, part.First().Description, part.First().Supply, part.Count())),
    ];

    private static IEnumerable<(PartKind Kind, string Name, string Description, Supply? Supply)> Values(PartKind kind, IReadOnlyList<StockValue> values) =>
        values.Select(value => (kind, PartName.Of(kind, value.PartNumber, value.Value), PartName.Value(kind, value.Value), value.Supply));
}
