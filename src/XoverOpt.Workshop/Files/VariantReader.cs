using System.Text.Json.Nodes;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads "from" of a job: the build a variant starts from and the ways it frees. The other ways take the build's parts for their only
/// choice, whatever the job says of them.
/// </summary>
/// <param name="inventory">The drawer; null when it could not be read: then what needs it is not checked.</param>
/// <param name="rule">What may be taken from it.</param>
internal sealed class VariantReader(Inventory? inventory, StockRule rule)
{
    /// <summary>Reads it.</summary>
    /// <param name="job">The job object.</param>
    /// <param name="place">Where the path of a build file starts.</param>
    /// <param name="ways">The ways as the job lists them; a variant's on return: the build's in its order, then what the job adds.</param>
    /// <param name="bare">The build as the job bears it in itself.</param>
    public JobVariant? Read(ObjectReader job, StockPlace place, ref IReadOnlyList<WayChoice> ways, out JsonObject? bare)
    {
        bare = null;
        if (job.Object("from") is not { } reader)
        {
            return null;
        }

        IReadOnlyList<string> free = Free(reader, ways);
        JsonCursor? at = reader.Required("build", "the path of a build file, or a build");
        (Earpiece Build, string? Job, int? Rank)? parent = at is null ? null : Parent(at, place, out bare);
        reader.Finish();
        if (parent is not { } found)
        {
            return null;
        }

        IReadOnlyList<WayChoice> listed = ways;
        WayChoice[] built = [.. found.Build.Ways
            .Select(way => free.Contains(way.Name) ? listed.FirstOrDefault(other => other.Name == way.Name) : Keep(at!, way))
            .OfType<WayChoice>()];
        ways = [.. built, .. listed.Where(way => free.Contains(way.Name) && built.All(other => other.Name != way.Name))];
        int values = ways.Sum(way => 2 + way.Networks.Select(network => Candidate.ParametersOf(0, network).Count() - 2).DefaultIfEmpty(0).Max());
        if (ways.Count > WayReader.MostWays || values > KernelWorkspace.MaxValues)
        {
            at!.Refuse(FormattableString.Invariant(
                $"at most {WayReader.MostWays} ways and {KernelWorkspace.MaxValues} values in all, the kept ones among them"), found: FormattableString.Invariant($"{ways.Count} ways and {values} values"));
        }

        return new(found.Build, found.Job, found.Rank, free);
    }

    private static List<string> Free(ObjectReader reader, IReadOnlyList<WayChoice> ways)
    {
        List<string> free = [];
        string[] names = [.. ways.Select(way => way.Name)];
        foreach (JsonCursor item in reader.RequiredList("free", 1, WayReader.MostWays) ?? [])
        {
            if (item.AsText(40) is { } name)
            {
                free.Add(name);
                if (names.Length > 0 && !names.Contains(name))
                {
                    item.Refuse("a way of the job: " + string.Join(", ", names), Nearest.Hint(name, names));
                }
            }
        }

        return free;
    }

    private (Earpiece Build, string? Job, int? Rank)? Parent(JsonCursor at, StockPlace place, out JsonObject? bare)
    {
        bare = null;
        if (at.Element.ValueKind == System.Text.Json.JsonValueKind.Object)
        {
            return KnownBuildReader.Read(at, inventory);
        }

        int before = at.Faults.Count;
        if (place.Resolve(at) is not { } file || JsonSource.Open(file.Path, at.Faults, file.Shown) is not { } top
            || top.AsObject("a build file") is not { } reader || reader.Format("build/1") is null || at.Faults.Count > before)
        {
            return null;
        }

        bare = KnownBuildReader.Bare(JsonObject.Create(top.Element)!);
        using var document = System.Text.Json.JsonDocument.Parse(bare.ToJsonString());
        return KnownBuildReader.Read(top with { Element = document.RootElement.Clone() }, inventory);
    }

    private WayChoice? Keep(JsonCursor at, Way way)
    {
        int before = at.Faults.Count;
        StockReceiver? receiver = inventory?.Receiver(way.Receiver.PartNumber);
        if (inventory is not null && receiver is null)
        {
            Refuse($"the receiver {way.Receiver.PartNumber}, which is not in the drawer");
        }
        else if (receiver is not null && !rule.Serves(receiver.Supply, way.Count))
        {
            Refuse($"{way.Count} of the receiver {way.Receiver.PartNumber} in each, of which the stock does not serve {rule.Sets} sets");
        }

        if (way.Tube.Count != 1)
        {
            at.Refuse("a build whose ways each have one piece of tube, where they stay as they are", found: $"{way.Tube.Count} pieces in the way \"{way.Name}\"");
            return null;
        }

        List<StockValue> parts = [];
        foreach (NetworkSection section in way.Network)
        {
            Add(section.Resistance, inventory?.Passives.Resistors, 0, PartKind.Resistor);
            Add(section.Capacitance, inventory?.Passives.Capacitors, section.CapacitorEsr, PartKind.Capacitor);
            Add(section.Inductance, inventory?.Passives.Coils, section.CoilDcr, PartKind.Coil);
        }

        TubeSegment tube = way.Tube[0];
        StockValue damper = way.DamperResistance > 0 ? Part(way.DamperResistance, inventory?.Dampers, 0, PartKind.Damper) : new(0, null, null, 0, null);
        StockValue bore = Part(tube.Bore, inventory?.Tubings, 0, PartKind.Tubing, (decimal)tube.Length);
        return at.Faults.Count > before || receiver is null ? null : new WayChoice
        {
            Name = way.Name,
            Receivers = [receiver],
            Counts = [way.Count],
            Wirings = [way.Wiring],
            Polarities = [way.Polarity],
            Networks = [new([.. way.Network.Select(section => new SectionShape(
                section.Place, section.Resistance is not null, section.Capacitance is not null, section.Inductance is not null))])],
            Bores = [bore],
            TubeMin = tube.Length,
            TubeMax = tube.Length,
            Dampers = [damper],
            Kept = new(way, parts),
        };

        void Refuse(string what) => at.Refuse(
            "a build whose kept ways can be built from the drawer", "Free the way, or put the part into the drawer.", $"the way \"{way.Name}\" with {what}");

        void Add(double? value, IReadOnlyList<StockValue>? stock, double loss, PartKind kind)
        {
            if (value is { } set)
            {
                parts.Add(Part(set, stock, loss, kind));
            }
        }

        StockValue Part(double value, IReadOnlyList<StockValue>? stock, double loss, PartKind kind, decimal units = 1)
        {
            StockValue[] held = [.. (stock ?? []).Where(part => Math.Abs(part.Value - value) <= 1e-9 * value && part.LossResistance == loss)];
            if (stock is not null && rule.StockOnly && !held.Any(part => rule.Serves(part.Supply, units)))
            {
                Refuse($"the {Purchasing.PartName.Of(kind, null, value)}, of which the stock does not serve {rule.Sets} sets");
            }

            // The value as it stands in the build, so that nothing changes in the last place.
            return (held.FirstOrDefault(part => rule.Serves(part.Supply, units)) ?? new StockValue(value, null, null, loss, null)) with { Value = value };
        }
    }
}
