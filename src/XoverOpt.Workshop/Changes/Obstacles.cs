using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Changes;

/// <summary>What keeps a build from being made under a job and its drawer, each reason once.</summary>
/// <param name="job">The job with its drawer.</param>
/// <param name="later">Whether this is the later of two runs: then things are so now, else they were so then.</param>
internal sealed class Obstacles(JobDocument job, bool later)
{
    private readonly Problem _problem = job.Problem;
    private readonly Dictionary<string, StockReceiver> _receivers = job.Inventory.Receivers.ToDictionary(held => held.Receiver.PartNumber);

    /// <summary>The build with this drawer's receivers; null where one is not in it.</summary>
    public Earpiece? Here(Earpiece build) => build.Ways.All(way => _receivers.ContainsKey(way.Receiver.PartNumber))
        ? new([.. build.Ways.Select(way => way with { Receiver = _receivers[way.Receiver.PartNumber].Receiver })])
        : null;

    /// <summary>Parts that are missing or short and choices that do not hold the build; limits are judged elsewhere.</summary>
    public IReadOnlyList<Reason> Of(Earpiece build)
    {
        List<Reason> reasons = [];
        foreach (string gone in build.Ways.Select(way => way.Receiver.PartNumber).Distinct().Where(part => !_receivers.ContainsKey(part)))
        {
            reasons.Add(new(ReasonKind.PartGone, later ? $"the receiver {gone} is no longer in the drawer" : $"the receiver {gone} was not in the drawer", gone));
        }

        PartsBill bill = PartsBill.Of(build, job.Inventory.Receivers, job.Inventory.Passives, _ => (job.Inventory.Dampers, job.Inventory.Tubings));
        if (_problem.Limits.StockOnly)
        {
            IEnumerable<PartsBill.Line> unknown = bill.Lines.Where(line => line.Kind != PartKind.Receiver && line.Supply is null);
            reasons.AddRange(unknown.Select(line => Named(line)).Distinct()
                .Select(part => new Reason(ReasonKind.PartGone, later ? $"the {part} is no longer in the drawer" : $"the {part} was not in the drawer", part)));
            reasons.AddRange(bill.Short(_problem.Limits)
                .Where(part => reasons.TrueForAll(reason => reason.Part is null || !part.Words.StartsWith(reason.Part + ":", StringComparison.Ordinal)))
                .Select(part => new Reason(ReasonKind.Stock, part.Words.Replace(":", later ? " is short:" : " was short:", StringComparison.Ordinal), part.Words.Split(':')[0])));
        }

        HashSet<string?> told = [.. reasons.Select(reason => reason.Part)];
        foreach (string missing in build.Ways.SelectMany(way => Missing(way, told)).Distinct())
        {
            reasons.Add(new(ReasonKind.Choices, later ? $"the job no longer allows {missing}" : $"the earlier job did not allow {missing}"));
        }

        return reasons;
    }

    private IEnumerable<string> Missing(Way way, HashSet<string?> told)
    {
        if (_problem.Ways.FirstOrDefault(other => other.Name == way.Name) is not { } choice)
        {
            yield return $"a way named {way.Name}";
            yield break;
        }

        string where = $" in the way {way.Name}", part = way.Receiver.PartNumber;
        if (!told.Contains(part) && choice.Receivers.All(held => held.Receiver.PartNumber != part))
        {
            yield return $"the receiver {part}{where}";
        }

        if (!choice.Counts.Contains(way.Count))
        {
            yield return FormattableString.Invariant($"{way.Count} receiver{(way.Count == 1 ? "" : "s")}{where}");
        }

        if (way.Count > 1 && !choice.Wirings.Contains(way.Wiring))
        {
            yield return $"wiring in {(way.Wiring == Wiring.Parallel ? "parallel" : "series")}{where}";
        }

        if (!choice.Polarities.Contains(way.Polarity))
        {
            yield return $"leads {(way.Polarity == Polarity.Normal ? "as marked" : "turned over")}{where}";
        }

        NetworkShape shape = new([.. way.Network.Select(section => new SectionShape(
            section.Place, section.Resistance is not null, section.Capacitance is not null, section.Inductance is not null))]);
        if (choice.Networks.All(network => !network.Sections.SequenceEqual(shape.Sections)))
        {
            yield return $"the network \"{shape}\"{where}";
        }

        PassiveStock passives = _problem.PassivesInUse;
        IEnumerable<(PartKind Kind, double? Value, IReadOnlyList<StockValue> List)> values = way.Network
            .SelectMany(section => new (PartKind, double?, IReadOnlyList<StockValue>)[]
            {
                (PartKind.Resistor, section.Resistance, passives.Resistors), (PartKind.Capacitor, section.Capacitance, passives.Capacitors),
                (PartKind.Coil, section.Inductance, passives.Coils),
            })
            .Append((PartKind.Damper, way.DamperResistance, choice.Dampers))
            .Concat(way.Tube.Select(piece => (PartKind.Tubing, (double?)piece.Bore, choice.Bores)));
        foreach ((PartKind kind, double? value, IReadOnlyList<StockValue> list) in values)
        {
            if (value is { } set && !list.Any(held => Math.Abs(held.Value - set) <= 1e-9 * set))
            {
                string name = set == 0 ? "no damper" : $"the {PartName.Of(kind, null, set)}";
                if (!told.Any(known => known is not null && name.EndsWith(known, StringComparison.Ordinal)) && !InStockTrouble(kind, set, told))
                {
                    yield return name + where;
                }
            }
        }

        double length = way.Tube.Sum(piece => piece.Length);
        if (length < choice.TubeMin - 1e-9 || length > choice.TubeMax + 1e-9)
        {
            yield return FormattableString.Invariant($"a tube of {Units.ToMm(length):0.##} mm{where}");
        }
    }

    /// <summary>Whether a value is out of the job's lists because its stock was told to be short.</summary>
    private bool InStockTrouble(PartKind kind, double value, HashSet<string?> told) => told.Count > 0 && Drawer(kind)
        .Where(held => Math.Abs(held.Value - value) <= 1e-9 * value)
        .Any(held => told.Contains(held.PartNumber) || told.Contains(FormattableString.Invariant($"{held.PartNumber} {value:R}")));

    private IReadOnlyList<StockValue> Drawer(PartKind kind) => kind switch
    {
        PartKind.Resistor => job.Inventory.Passives.Resistors,
        PartKind.Capacitor => job.Inventory.Passives.Capacitors,
        PartKind.Coil => job.Inventory.Passives.Coils,
        PartKind.Damper => job.Inventory.Dampers,
        _ => job.Inventory.Tubings,
    };

    private static string Named(PartsBill.Line line) => PartName.Of(line.Kind, null, line.Value);
}
