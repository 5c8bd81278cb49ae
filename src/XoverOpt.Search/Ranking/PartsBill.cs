using System.Globalization;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>What one earpiece is made of, counted and priced.</summary>
/// <param name="Lines">One entry a part: what is known of it, and how many (metres for tubing).</param>
/// <param name="KnownBodyVolume">Sum of the receivers' boxes that are stated, m³.</param>
/// <param name="BodyVolume">The same; null where a size is missing.</param>
public sealed record PartsBill(IReadOnlyList<PartsBill.Line> Lines, double KnownBodyVolume, double? BodyVolume)
{
    /// <summary>A part: its number where it has one, how many pieces, how many units of its price, and its supply.</summary>
    public readonly record struct Line(string? PartNumber, int Pieces, decimal Units, Supply? Supply);

    /// <summary>Receivers, network parts, dampers and tubes.</summary>
    public int Parts => Lines.Sum(line => line.Pieces);

    /// <summary>Parts without a price.</summary>
    public int Unpriced => Lines.Where(line => line.Supply?.UnitPrice is null).Sum(line => line.Pieces);

    /// <summary>Price of the parts that have one.</summary>
    public decimal Known => Lines.Sum(line => line.Units * (line.Supply?.UnitPrice ?? 0));

    /// <summary>Price of all parts; null where one has no price.</summary>
    public decimal? Cost => Unpriced == 0 ? Known : null;

    /// <summary>Lists a build's parts from the problem's lists. A value is known by being within 10⁻⁹ of one in a list.</summary>
    public static PartsBill Of(Earpiece earpiece, Problem problem)
    {
        var lines = new List<Line>();
        double known = 0;
        double? volume = 0;
        foreach (Way way in earpiece.Ways)
        {
            WayChoice? choice = problem.Ways.FirstOrDefault(other => other.Name == way.Name);
            StockReceiver? receiver = problem.Ways.SelectMany(other => other.Receivers).FirstOrDefault(other => other.Receiver.PartNumber == way.Receiver.PartNumber);
            lines.Add(new(way.Receiver.PartNumber, way.Count, way.Count, receiver?.Supply));
            known += (receiver?.Body?.Volume ?? 0) * way.Count;
            volume += receiver?.Body?.Volume * way.Count;
            foreach (NetworkSection section in way.Network)
            {
                Add(problem.Passives.Resistors, section.Resistance);
                Add(problem.Passives.Capacitors, section.Capacitance);
                Add(problem.Passives.Coils, section.Inductance);
            }

            Add(choice?.Dampers, way.DamperResistance > 0 ? way.DamperResistance : null);
            foreach (TubeSegment piece in way.Tube)
            {
                StockValue? tubing = Find(choice?.Bores, piece.Bore);
                lines.Add(new(tubing?.PartNumber, 1, (decimal)Math.Round(piece.Length, 6), tubing?.Supply));
            }
        }

        return new(lines, known, volume);

        void Add(IReadOnlyList<StockValue>? list, double? value)
        {
            if (value is { } set)
            {
                StockValue? part = Find(list, set);
                // A series is one entry in the drawer, but each of its values is a part of its own with a stock of its own.
                string? name = part?.PartNumber is { } number ? string.Create(CultureInfo.InvariantCulture, $"{number} {set:R}") : null;
                lines.Add(new(name, 1, 1, part?.Supply));
            }
        }
    }

    /// <summary>Parts of which the stock does not serve the sets (a left and a right each), all uses in the build together.</summary>
    public IEnumerable<BrokenLimit> Short(int sets) => Lines
        .Where(line => line.PartNumber is not null)
        .GroupBy(line => line.PartNumber)
        .Select(part => (Part: part.Key, Need: 2 * sets * part.Sum(line => line.Units), Stock: part.First().Supply?.Stock ?? 0))
        .Where(part => part.Need > part.Stock)
        .Select(part => new BrokenLimit(
            (double)((part.Need - part.Stock) / part.Need),
            string.Create(CultureInfo.InvariantCulture, $"{part.Part}: {part.Need:0.##} needed for {sets} sets, {part.Stock:0.##} in stock")));

    private static StockValue? Find(IReadOnlyList<StockValue>? list, double value) =>
        list?.FirstOrDefault(item => Math.Abs(item.Value - value) <= 1e-9 * Math.Abs(value));
}
