using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// Takes in stock item by item: receiver/1, damper/1, tubing/1 and passives/1, each with its keys, units and physical ranges. The
/// ranges are wide bounds against slips of a unit or a sign, not limits of the trade.
/// </summary>
internal sealed class InventoryItems(FaultList faults)
{
    /// <summary>The formats an item may bear.</summary>
    public static readonly IReadOnlyList<string> Formats = ["receiver/1", "damper/1", "tubing/1", "passives/1"];

    private readonly List<StockReceiver> _receivers = [];
    private readonly List<StockValue> _dampers = [];
    private readonly List<StockValue> _tubings = [];
    private readonly Dictionary<PassiveKind, List<StockValue>> _passives = PassiveKind.All.ToDictionary(kind => kind, _ => new List<StockValue>());
    private readonly Dictionary<string, string> _places = [];
    private readonly List<string> _json = [];
    private readonly SupplyReader _supplies = new();

    /// <summary>Reads one item.</summary>
    public void Add(JsonCursor at)
    {
        if (at.AsObject("an object with a \"format\"") is not { } reader)
        {
            return;
        }

        int before = faults.Count;
        switch (reader.Format(Formats))
        {
            case "receiver/1":
                _receivers.Add(ReadReceiver(reader));
                break;
            case "damper/1":
                _dampers.Add(ReadValue(reader, "ohmCgs", NumberRange.Positive(1e6, "cgs ohm"), Units.FromOhmCgs));
                break;
            case "tubing/1":
                StockValue tubing = ReadValue(reader, "boreMm", new(0.2, 10, "mm"), Units.FromMm);
                if (reader.Number("outerMm", NumberRange.Positive(20, "mm")) is { } outer && Units.FromMm(outer) <= tubing.Value)
                {
                    reader.Optional("outerMm")!.Refuse("more than boreMm");
                }

                _tubings.Add(tubing);
                break;
            case "passives/1":
                ReadPassives(reader);
                break;
            default:
                return;
        }

        reader.Finish();
        if (faults.Count == before)
        {
            _json.Add(CanonicalJson.Of(at.Element));
        }
    }

    /// <summary>The whole stock. Call it when there are no faults.</summary>
    public Inventory ToInventory() => new(
        [.. _receivers.OrderBy(receiver => receiver.Receiver.PartNumber, StringComparer.Ordinal)],
        Sorted(_dampers),
        Sorted(_tubings),
        new PassiveStock(Sorted(_passives[PassiveKind.Resistor]), Sorted(_passives[PassiveKind.Capacitor]), Sorted(_passives[PassiveKind.Coil])),
        $"[{string.Join(',', _json.Order(StringComparer.Ordinal))}]");

    private static StockValue[] Sorted(IEnumerable<StockValue> values) =>
    [
        .. values.OrderBy(value => value.Value)
            .ThenBy(value => value.Supply?.UnitPrice ?? decimal.MaxValue)
            .ThenBy(value => value.PartNumber, StringComparer.Ordinal)
            .ThenBy(value => value.LossResistance)
            .ThenBy(value => value.TolerancePercent)
            .ThenByDescending(value => value.Supply?.Stock)
            .ThenBy(value => value.Supply?.LeadTimeDays)
            .ThenBy(value => value.Supply?.PackSize),
    ];

    private StockReceiver ReadReceiver(ObjectReader reader)
    {
        string partNumber = ReadPartNumber(reader, required: true)!;
        ObjectReader? electrical = reader.RequiredObject("electrical"), motor = reader.RequiredObject("motor"),
            mechanical = reader.RequiredObject("mechanical"), acoustical = reader.RequiredObject("acoustical"),
            limits = reader.Object("limits"), body = reader.Object("body"), spread = reader.Object("spread");
        NumberRange percent = NumberRange.NotNegative(50, "%"), side = NumberRange.Positive(50, "mm");

        Receiver physics = new()
        {
            PartNumber = partNumber,
            DcResistance = electrical?.RequiredNumber("dcResistanceOhm", NumberRange.Positive(10_000, "Ω")) ?? double.NaN,
            Inductance = From(electrical?.Number("inductanceMh", NumberRange.Positive(1000, "mH")), Units.FromMillihenry),
            SemiInductance = electrical?.Number("semiInductance", NumberRange.Positive(1000, "Ω·s^½")),
            ForceFactor = motor?.RequiredNumber("forceFactorNPerA", NumberRange.Positive(100, "N/A")) ?? double.NaN,
            Mass = From(mechanical?.RequiredNumber("massMg", NumberRange.Positive(1000, "mg")), Units.FromMg) ?? double.NaN,
            Compliance = From(mechanical?.RequiredNumber("complianceMmPerN", NumberRange.Positive(1000, "mm/N")), Units.FromMmPerN) ?? double.NaN,
            Resistance = mechanical?.RequiredNumber("resistanceNsPerM", NumberRange.Positive(10, "N·s/m")) ?? double.NaN,
            DiaphragmArea = From(acoustical?.RequiredNumber("diaphragmMm2", NumberRange.Positive(1000, "mm²")), Units.FromMm2) ?? double.NaN,
            RearVolume = From(acoustical?.RequiredNumber("rearVolumeMm3", NumberRange.Positive(100_000, "mm³")), Units.FromMm3) ?? double.NaN,
            FrontVolume = From(acoustical?.RequiredNumber("frontVolumeMm3", NumberRange.NotNegative(10_000, "mm³")), Units.FromMm3) ?? double.NaN,
            SpoutLength = From(acoustical?.RequiredNumber("spoutLengthMm", NumberRange.NotNegative(50, "mm")), Units.FromMm) ?? double.NaN,
            SpoutBore = From(acoustical?.RequiredNumber("spoutBoreMm", new(0.2, 10, "mm")), Units.FromMm) ?? double.NaN,
            TravelLimit = From(limits?.Number("armatureTravelUm", NumberRange.Positive(1000, "µm")), Units.FromUm),
            CurrentLimit = From(limits?.Number("coilCurrentMa", NumberRange.Positive(1000, "mA")), Units.FromMa),
        };
        StockReceiver receiver = new(
            physics,
            reader.Text("maker") ?? "",
            reader.Text("description", 1000) ?? "",
            [.. (reader.List("tags", max: 50) ?? []).Select(tag => tag.AsText(50)).OfType<string>().Distinct()],
            body is null ? null : new Body(Side("lengthMm"), Side("widthMm"), Side("heightMm")),
            spread is null ? null : new Spread(
                spread.RequiredNumber("sensitivityDb", NumberRange.NotNegative(20, "dB")),
                spread.RequiredNumber("resonancePercent", percent),
                spread.RequiredNumber("dcResistancePercent", percent)),
            _supplies.Read(reader));
        foreach (ObjectReader? part in new[] { electrical, motor, mechanical, acoustical, limits, body, spread })
        {
            part?.Finish();
        }

        return receiver;

        double Side(string key) => Units.FromMm(body.RequiredNumber(key, side));
    }

    private StockValue ReadValue(ObjectReader reader, string key, NumberRange range, Func<double, double> toSi)
    {
        string partNumber = ReadPartNumber(reader, required: true)!;
        _ = (reader.Text("maker"), reader.Text("description", 1000));
        return new(toSi(reader.RequiredNumber(key, range)), partNumber, Tolerance(reader), 0, _supplies.Read(reader));
    }

    private void ReadPassives(ObjectReader reader)
    {
        string? partNumber = ReadPartNumber(reader, required: false);
        _ = (reader.Text("maker"), reader.Text("description", 1000));
        double? tolerance = Tolerance(reader);
        Supply? supply = _supplies.Read(reader);
        (string, int)[] kinds = [.. PassiveKind.All.Select((kind, k) => (kind.Name, k))];
        if (reader.Required("kind", "one of " + string.Join(", ", kinds.Select(kind => kind.Item1)))?.AsChoice(kinds) is not { } index)
        {
            // Which keys belong here hangs on the kind, so none of them is to blame.
            reader.Forgive();
            return;
        }

        PassiveKind kind = PassiveKind.All[index];
        double loss = kind.Loss is null ? 0 : reader.Number(kind.Loss, NumberRange.NotNegative(10_000, "Ω")) ?? 0;
        IReadOnlyList<double> values = reader.Optional(kind.Unit) is { } list ? kind.ReadValues(list) : kind.ReadSeries(reader);
        _passives[kind].AddRange(values.Select(value => new StockValue(value, partNumber, tolerance, loss, supply)));
    }

    private string? ReadPartNumber(ObjectReader reader, bool required)
    {
        string? partNumber = required ? reader.RequiredText("partNumber", 80) : reader.Text("partNumber", 80);
        JsonCursor? at = reader.Optional("partNumber");
        if (!string.IsNullOrEmpty(partNumber) && !_places.TryAdd(partNumber, $"{at!.File}{at.Pointer}"))
        {
            at.Refuse("each part number once in the inventory", $"It is already at {_places[partNumber]}.", $"the part number \"{partNumber}\" again");
        }

        return partNumber;
    }

    private static double? Tolerance(ObjectReader reader) => reader.Number("tolerancePercent", NumberRange.NotNegative(100, "%"));

    private static double? From(double? value, Func<double, double> toSi) => value is { } number ? toSi(number) : null;
}
