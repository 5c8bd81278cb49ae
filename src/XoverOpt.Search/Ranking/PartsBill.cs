using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>What one earpiece is made of, counted and priced.</summary>
/// <param name="Parts">Receivers, network parts, dampers and tubes.</param>
/// <param name="Cost">Price of all of them; null where one has no price.</param>
/// <param name="Unpriced">Parts without a price.</param>
/// <param name="BodyVolume">Sum of the receivers' boxes, m³; null where a size is missing.</param>
public sealed record PartsBill(int Parts, decimal? Cost, int Unpriced, double? BodyVolume)
{
    /// <summary>Counts and prices a build from the problem's lists. A value is known by being within 10⁻⁹ of one in a list.</summary>
    public static PartsBill Of(Earpiece earpiece, Problem problem)
    {
        int parts = 0, unpriced = 0;
        decimal cost = 0;
        double? volume = 0;
        void Add(Supply? supply, decimal count)
        {
            parts += count >= 1 ? (int)count : 1;
            unpriced += supply?.UnitPrice is null ? 1 : 0;
            cost += (supply?.UnitPrice ?? 0) * count;
        }

        foreach (Way way in earpiece.Ways)
        {
            WayChoice? choice = problem.Ways.FirstOrDefault(other => other.Name == way.Name);
            StockReceiver? receiver = problem.Ways.SelectMany(other => other.Receivers).FirstOrDefault(other => other.Receiver.PartNumber == way.Receiver.PartNumber);
            Add(receiver?.Supply, way.Count);
            volume += receiver?.Body?.Volume * way.Count;
            foreach (NetworkSection section in way.Network)
            {
                foreach ((double? value, IReadOnlyList<StockValue> list) in new[]
                {
                    (section.Resistance, problem.Passives.Resistors),
                    (section.Capacitance, problem.Passives.Capacitors),
                    (section.Inductance, problem.Passives.Coils),
                })
                {
                    if (value is { } set)
                    {
                        Add(Find(list, set)?.Supply, 1);
                    }
                }
            }

            if (way.DamperResistance > 0)
            {
                Add(Find(choice?.Dampers, way.DamperResistance)?.Supply, 1);
            }

            foreach (TubeSegment piece in way.Tube)
            {
                // Tubing is priced by the metre; a piece is one part.
                Supply? supply = Find(choice?.Bores, piece.Bore)?.Supply;
                parts++;
                unpriced += supply?.UnitPrice is null ? 1 : 0;
                cost += (supply?.UnitPrice ?? 0) * (decimal)Math.Round(piece.Length, 6);
            }
        }

        return new(parts, unpriced == 0 ? cost : null, unpriced, volume);
    }

    private static StockValue? Find(IReadOnlyList<StockValue>? list, double value) =>
        list?.FirstOrDefault(item => Math.Abs(item.Value - value) <= 1e-9 * Math.Abs(value));
}
