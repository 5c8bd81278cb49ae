using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>What is needed of one part.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Part">Its name.</param>
/// <param name="PartNumber">The number under which it is bought; null where it has none.</param>
/// <param name="Description">Maker, or value in words.</param>
/// <param name="Ways">Where it is used.</param>
/// <param name="PiecesPerEarpiece">Pieces in one earpiece (cuts, for tubing); null where earpieces of several builds are counted.</param>
/// <param name="Need">Needed in all, with what cutting loses.</param>
/// <param name="Supply">Price and stock; null where not known.</param>
public sealed record PartsNeed(
    PartKind Kind, string Part, string? PartNumber, string Description, IReadOnlyList<string> Ways, int? PiecesPerEarpiece, decimal Need, Supply? Supply)
{
    /// <summary>What a build needs.</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="drawer">The drawer.</param>
    /// <param name="order">How many sets, and what a cut loses.</param>
    public static IReadOnlyList<PartsNeed> Of(Earpiece earpiece, Inventory drawer, PartsOrder order) =>
    [
        .. PartsBill.Of(earpiece, drawer.Receivers, drawer.Passives, _ => (drawer.Dampers, drawer.Tubings)).Lines
            .GroupBy(use => PartName.Of(use.Kind, use.PartNumber, use.Value))
            .Select(part => Of(part.Key, [.. part], drawer, order)),
    ];

    /// <summary>What several builds need together.</summary>
    /// <param name="builds">A name for each, and its needs.</param>
    public static IReadOnlyList<PartsNeed> Together(IEnumerable<(string Name, IReadOnlyList<PartsNeed> Needs)> builds) =>
    [
        .. builds.SelectMany(build => build.Needs.Select(need => need with { Ways = [build.Name] }))
            .GroupBy(need => need.Part)
            .Select(part => part.First() with { Ways = [.. part.SelectMany(need => need.Ways).Distinct()], PiecesPerEarpiece = null, Need = part.Sum(need => need.Need) }),
    ];

    private static PartsNeed Of(string name, PartsBill.Line[] uses, Inventory drawer, PartsOrder order)
    {
        PartsBill.Line first = uses[0];
        int pieces = uses.Sum(use => use.Pieces);
        decimal perEarpiece = uses.Sum(use => use.Units) + (first.Kind == PartKind.Tubing ? pieces * order.CutLossMm / 1000 : 0);
        string what = first.Kind == PartKind.Receiver ? drawer.Receiver(first.PartNumber!)?.Maker ?? "not in the drawer" : PartName.Value(first.Kind, first.Value);
        return new(first.Kind, name, first.PartNumber, what, [.. uses.Select(use => use.Way).Distinct()], pieces, order.Earpieces * perEarpiece, first.Supply);
    }
}
