using System.Globalization;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>What one earpiece is made of, counted and priced.</summary>
/// <param name="Lines">One entry a part: what is known of it, and how many (metres for tubing).</param>
/// <param name="KnownBodyVolume">Sum of the receivers' boxes that are stated, m³.</param>
/// <param name="BodyVolume">The same; null where a size is missing.</param>
public sealed record PartsBill(IReadOnlyList<PartsBill.Line> Lines, double KnownBodyVolume, double? BodyVolume)
{
    /// <summary>One use of a part in an earpiece.</summary>
    /// <param name="Kind">What it is.</param>
    /// <param name="Way">The way it is in.</param>
    /// <param name="PartNumber">Its number where it has one; that of the series for one of a series.</param>
    /// <param name="Value">Its value, SI: Ω, F, H, Pa·s/m³, or the bore, m; 0 for a receiver.</param>
    /// <param name="Pieces">How many.</param>
    /// <param name="Units">How many units of its price: pieces, metres for tubing.</param>
    /// <param name="Supply">Price and stock; null where not known.</param>
    public readonly record struct Line(PartKind Kind, string Way, string? PartNumber, double Value, int Pieces, decimal Units, Supply? Supply);

    /// <summary>Receivers, network parts, dampers and tubes.</summary>
    public int Parts => Lines.Sum(line => line.Pieces);

    /// <summary>Parts without a price.</summary>
    public int Unpriced => Lines.Where(line => line.Supply?.UnitPrice is null).Sum(line => line.Pieces);

    /// <summary>Price of the parts that have one.</summary>
    public decimal Known => Lines.Sum(line => line.Units * (line.Supply?.UnitPrice ?? 0));

    /// <summary>Price of all parts; null where one has no price.</summary>
    public decimal? Cost => Unpriced == 0 ? Known : null;

    /// <summary>Lists a build's parts from the problem's lists. A value is known by being within 10⁻⁹ of one in a list.</summary>
    public static PartsBill Of(Earpiece earpiece, Problem problem) => Of(
        earpiece,
        problem.Ways.SelectMany(other => other.Receivers),
        problem.PassivesInUse,
        way => problem.Ways.FirstOrDefault(other => other.Name == way.Name) is { } choice ? (choice.Dampers, choice.Bores) : ([], []));

    /// <summary>Lists a build's parts from what a drawer holds. A value is known by being within 10⁻⁹ of one in a list.</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="receivers">The drawer's receivers.</param>
    /// <param name="passives">Its network parts.</param>
    /// <param name="ducts">The dampers and the tubing that serve a way.</param>
    public static PartsBill Of(
        Earpiece earpiece,
        IEnumerable<StockReceiver> receivers,
        PassiveStock passives,
        Func<Way, (IReadOnlyList<StockValue> Dampers, IReadOnlyList<StockValue> Bores)> ducts)
    {
        var held = new Dictionary<string, StockReceiver>();
        foreach (StockReceiver receiver in receivers)
        {
            held.TryAdd(receiver.Receiver.PartNumber, receiver);
        }

        var lines = new List<Line>();
        double known = 0;
        double? volume = 0;
        foreach (Way way in earpiece.Ways)
        {
            StockReceiver? receiver = held.GetValueOrDefault(way.Receiver.PartNumber);
            lines.Add(new(PartKind.Receiver, way.Name, way.Receiver.PartNumber, 0, way.Count, way.Count, receiver?.Supply));
            known += (receiver?.Body?.Volume ?? 0) * way.Count;
            volume += receiver?.Body?.Volume * way.Count;
            foreach (NetworkSection section in way.Network)
            {
                Add(PartKind.Resistor, passives.Resistors, section.Resistance);
                Add(PartKind.Capacitor, passives.Capacitors, section.Capacitance);
                Add(PartKind.Coil, passives.Coils, section.Inductance);
            }

            (IReadOnlyList<StockValue> dampers, IReadOnlyList<StockValue> bores) = ducts(way);
            Add(PartKind.Damper, dampers, way.DamperResistance > 0 ? way.DamperResistance : null);
            foreach (TubeSegment piece in way.Tube)
            {
                StockValue? tubing = Find(bores, piece.Bore);
                lines.Add(new(PartKind.Tubing, way.Name, tubing?.PartNumber, piece.Bore, 1, (decimal)Math.Round(piece.Length, 6), tubing?.Supply));
            }

            void Add(PartKind kind, IReadOnlyList<StockValue> list, double? value)
            {
                if (value is { } set)
                {
                    StockValue? part = Find(list, set);
                    lines.Add(new(kind, way.Name, part?.PartNumber, set, 1, 1, part?.Supply));
                }
            }
        }

        return new(lines, known, volume);
    }

    /// <summary>Parts of which the stock does not serve the sets, all uses in the build together.</summary>
    public IEnumerable<BrokenLimit> Short(Limits limits) => Lines
        .Where(line => line.PartNumber is not null)
        // A series is one entry in the drawer, but each of its values is a part of its own with a stock of its own.
        .GroupBy(line => line.Kind is PartKind.Receiver or PartKind.Tubing ? line.PartNumber : string.Create(CultureInfo.InvariantCulture, $"{line.PartNumber} {line.Value:R}"))
        .Select(part => (Part: part.Key, Need: limits.Earpieces * part.Sum(line => line.Units), Stock: part.First().Supply?.Stock ?? 0))
        .Where(part => part.Need > part.Stock)
        .Select(part => new BrokenLimit(
            (double)((part.Need - part.Stock) / part.Need),
            string.Create(CultureInfo.InvariantCulture, $"{part.Part}: {part.Need:0.##} needed for {limits.Sets} sets, {part.Stock:0.##} in stock")));

    private static StockValue? Find(IReadOnlyList<StockValue> list, double value) =>
        list.FirstOrDefault(item => Math.Abs(item.Value - value) <= 1e-9 * Math.Abs(value));
}
