using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Reads the ways of a job.</summary>
/// <param name="inventory">The drawer; null when it could not be read: then what needs it is not checked.</param>
/// <param name="passives">The network parts the job may use.</param>
/// <param name="rule">What may be taken from the drawer.</param>
/// <param name="stepMm">Cutting step of tubes, mm.</param>
internal sealed class WayReader(Inventory? inventory, PassiveStock passives, StockRule rule, double stepMm)
{
    /// <summary>Most ways.</summary>
    public const int MostWays = 8;

    private static readonly NumberRange Bore = new(0.2, 10, "mm"), Length = NumberRange.Positive(100, "mm");

    /// <summary>Reads "ways", or makes the default ones.</summary>
    /// <param name="job">The job object.</param>
    public IReadOnlyList<WayChoice> Read(ObjectReader job)
    {
        if (job.Optional("ways") is not { } at)
        {
            return DefaultWays(job.Optional("inventory") ?? job.At);
        }

        List<WayChoice> ways = [];
        foreach (JsonCursor item in at.AsList(1, MostWays, "a list of ways") ?? [])
        {
            if (item.AsObject("an object that describes a way") is not { } reader)
            {
                continue;
            }

            string name = reader.RequiredText("name", 40);
            if (name.Length > 0 && ways.Any(way => way.Name == name))
            {
                reader.Optional("name")!.Refuse("a name that no other way has");
            }

            ways.Add(ReadWay(reader, item, name));
            reader.Finish();
        }

        CheckValues(at, ways);
        return ways;
    }

    /// <summary>The default ways need far fewer values than the kernel has room for; ways as listed may need more.</summary>
    private static void CheckValues(JsonCursor at, List<WayChoice> ways)
    {
        // A tube and a damper a way, whatever its network.
        int most = ways.Sum(way => 2 + way.Networks.Select(Parts).DefaultIfEmpty(0).Max());
        if (most > KernelWorkspace.MaxValues)
        {
            at.Refuse(
                FormattableString.Invariant(
                    $"at most {KernelWorkspace.MaxValues} values in all: for each way its tube, its damper and each part of its largest network"),
                "Leave out the largest networks, or list fewer ways.",
                FormattableString.Invariant($"{most} values in {ways.Count} way(s)"));
        }

        static int Parts(NetworkShape shape) =>
            shape.Sections.Sum(section => (section.Resistor ? 1 : 0) + (section.Capacitor ? 1 : 0) + (section.Coil ? 1 : 0));
    }

    private List<WayChoice> DefaultWays(JsonCursor at)
    {
        if (inventory is null)
        {
            return [];
        }

        string[] names = [.. JobDefaults.WayNames.Where(inventory.Tags.Contains)];
        return [.. (names.Length > 0 ? names : [JobDefaults.WideWay]).Select(name => ReadWay(null, at, name))];
    }

    /// <summary>One way; with no reader, the default one of that name.</summary>
    private WayChoice ReadWay(ObjectReader? reader, JsonCursor at, string name)
    {
        IReadOnlyList<int> counts = Words(reader?.List("counts", 1, 16), item => (int?)item.AsWhole(1, 16)) ?? JobDefaults.Counts(name);
        (double min, double max, IReadOnlyList<StockValue> bores) = ReadTube(reader?.Object("tube"), at);
        return new WayChoice
        {
            Name = name,
            Receivers = new ReceiverChoice(inventory, rule).Read(reader, at, name, counts.DefaultIfEmpty(1).Min()),
            Counts = [.. counts.Order()],
            Wirings = Words(reader?.List("wiring", 1, 10), item => item.AsChoice([("parallel", Wiring.Parallel), ("series", Wiring.Series)]))
                ?? JobDefaults.Wirings,
            Polarities = Words(reader?.List("polarity", 1, 10), item => item.AsChoice([("normal", Polarity.Normal), ("inverted", Polarity.Inverted)]))
                ?? JobDefaults.Polarities,
            Networks = ReadNetworks(reader, name),
            Bores = bores,
            TubeMin = min,
            TubeMax = max,
            Dampers = ReadDampers(reader, at),
        };
    }

    private IReadOnlyList<NetworkShape> ReadNetworks(ObjectReader? reader, string name)
    {
        if (reader?.Optional("networks") is not { } at)
        {
            NetworkShape[] shapes =
                [.. JobDefaults.Networks(name).Select(NetworkWords.Shape).Where(shape => NetworkWords.Missing(shape, passives).Count == 0)];
            return shapes.Length > 0 ? shapes : [new NetworkShape([])];
        }

        List<NetworkShape> networks = [];
        foreach (JsonCursor item in at.AsList(1, 100, "a list of networks") ?? [])
        {
            int before = at.Faults.Count;
            IReadOnlyList<JsonCursor> sections = item.AsList(0, 8, "a list of sections, empty for a straight wire,") ?? [];
            NetworkShape shape = new([.. sections.Select(ReadSection).OfType<SectionShape>()]);
            IReadOnlyList<PassiveKind> missing = inventory is null ? [] : NetworkWords.Missing(shape, passives);
            if (missing.Count > 0)
            {
                string kinds = string.Join(" and ", missing.Select(kind => kind.Plural));
                item.Refuse($"sections of parts the job may use; it may use no {kinds}", $"See \"passives\" for {kinds}.");
            }

            if (at.Faults.Count == before && networks.All(other => other.ToString() != shape.ToString()))
            {
                networks.Add(shape);
            }
        }

        return networks;
    }

    private static SectionShape? ReadSection(JsonCursor at)
    {
        if (at.AsText(80) is not { } word)
        {
            return null;
        }

        SectionShape? section = NetworkWords.Section(word);
        if (section is null)
        {
            at.Refuse(
                "\"series-\" or \"shunt-\" with resistor, capacitor, coil or several of them joined by hyphens",
                Nearest.Hint(word, NetworkWords.All));
        }

        return section;
    }

    private (double Min, double Max, IReadOnlyList<StockValue> Bores) ReadTube(ObjectReader? reader, JsonCursor at)
    {
        (double min, double max) = JobDefaults.TubeLengthMm;
        JsonCursor lengthAt = reader?.Optional("lengthMm") ?? at;
        if (reader?.List("lengthMm", 2, 2) is [var shortest, var longest])
        {
            (min, max) = (shortest.AsNumber(Length) ?? double.NaN, longest.AsNumber(Length) ?? double.NaN);
        }

        // The hair keeps a length that is on the step from being pushed off it by rounding.
        const double Hair = 1e-9;
        double first = Math.Ceiling((min / stepMm) - Hair), last = Math.Floor((max / stepMm) + Hair);
        if (first > last)
        {
            lengthAt.Refuse(FormattableString.Invariant(
                $"shortest then longest length, with a multiple of the cutting step {stepMm} mm from one to the other"));
        }

        int before = at.Faults.Count;
        decimal metres = double.IsFinite(min) ? (decimal)Units.FromMm(min) : 0;
        IReadOnlyList<StockValue> stock = inventory?.Tubings ?? [];
        JsonCursor? boresAt = reader?.Optional("boresMm");
        StockValue[] bores = boresAt is null || boresAt.IsWord("stock")
            ? rule.All(stock, metres)
            : rule.Listed(Numbers(boresAt.AsList(1, 50, "\"stock\" or a list of bores"), Bore).Select(Units.FromMm), stock, metres);
        RequireSome(bores, boresAt ?? at, "tubing", before);
        reader?.Finish();
        return (Cut(first), Cut(last), bores);

        double Cut(double steps) => Problem.CutLength(steps, Units.FromMm(stepMm));
    }

    private StockValue[] ReadDampers(ObjectReader? reader, JsonCursor at)
    {
        StockValue none = new(0, null, null, 0, null);
        IReadOnlyList<StockValue> stock = inventory?.Dampers ?? [];
        JsonCursor? listAt = reader?.Optional("dampersOhmCgs");
        if (listAt is null || listAt.IsWord("stock"))
        {
            return [none, .. rule.All(stock)];
        }

        if (listAt.IsWord("none"))
        {
            return [none];
        }

        int before = at.Faults.Count;
        NumberRange range = NumberRange.NotNegative(1e6, "cgs ohm");
        double[] listed = Numbers(listAt.AsList(1, 200, "\"stock\", \"none\" or a list of dampers"), range);
        IEnumerable<StockValue> bare = listed.Contains(0) ? [none] : [];
        StockValue[] dampers = [.. bare, .. rule.Listed(listed.Where(ohm => ohm > 0).Select(Units.FromOhmCgs), stock)];
        RequireSome(dampers, listAt, "damper", before);
        return dampers;
    }

    private void RequireSome(StockValue[] found, JsonCursor at, string what, int before)
    {
        if (found.Length == 0 && inventory is not null && at.Faults.Count == before)
        {
            at.Refuse(
                rule.StockOnly
                    ? $"at least one {what} with the stock for {rule.Sets} set(s)"
                    : $"at least one {what}, in the drawer or listed by the job",
                found: $"no such {what}");
        }
    }

    private static double[] Numbers(IReadOnlyList<JsonCursor>? items, NumberRange range) =>
        [.. (items ?? []).Select(item => item.AsNumber(range)).OfType<double>()];

    private static IReadOnlyList<T>? Words<T>(IReadOnlyList<JsonCursor>? items, Func<JsonCursor, T?> read)
        where T : struct => items is null ? null : [.. items.Select(read).OfType<T>().Distinct()];
}
