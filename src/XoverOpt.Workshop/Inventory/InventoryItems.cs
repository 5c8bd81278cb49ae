using System.Text.Json;
using System.Text.Json.Nodes;
using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Workshop;

/// <summary>
/// Takes in stock item by item: receiver/1, damper/1, tubing/1 and passives/1, each with its keys, units and physical ranges. The
/// ranges are wide bounds against slips of a unit or a sign, not limits of the trade.
/// </summary>
internal sealed class InventoryItems(FaultList faults)
{
    /// <summary>The formats an item may bear.</summary>
    public static readonly IReadOnlyList<string> Formats = ["receiver/1", "damper/1", "tubing/1", "passives/1"];

    private const string ValueSupply = "valueSupply";

    private readonly List<StockReceiver> _receivers = [];
    private readonly List<StockValue> _dampers = [];
    private readonly List<StockValue> _tubings = [];
    private readonly Dictionary<PassiveKind, List<StockValue>> _passives = PassiveKind.All.ToDictionary(kind => kind, _ => new List<StockValue>());
    private readonly Dictionary<string, string> _places = [];
    private readonly List<string> _json = [];
    private readonly SupplyReader _supplies = new();
    private readonly Dictionary<string, StockBook?> _books = [];
    private readonly List<JsonCursor> _readBooks = [];

    // What the item that is being read has from the stock book.
    private StockBook? _book;
    private Supply? _overlaid;
    private JsonArray? _ofValues;

    /// <summary>The stock book of a folder, read once.</summary>
    /// <param name="folder">The folder.</param>
    /// <param name="open">Opens the book; gives null where there is none.</param>
    public StockBook? BookOf(string folder, Func<JsonCursor?> open)
    {
        string full = Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder));
        if (!_books.TryGetValue(full, out StockBook? book))
        {
            book = null;
            if (open() is { } at && (book = StockBookFile.Read(at)) is not null)
            {
                _readBooks.Add(at);
            }

            _books.Add(full, book);
        }

        return book;
    }

    /// <summary>Reads one item.</summary>
    /// <param name="at">The item.</param>
    /// <param name="book">What is laid over its price and stock; null for nothing.</param>
    public void Add(JsonCursor at, StockBook? book = null)
    {
        (_book, _overlaid, _ofValues) = (book, null, null);
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
                _dampers.Add(ReadValue(reader, PartKind.Damper, "ohmCgs", NumberRange.Positive(1e6, "cgs ohm"), Units.FromOhmCgs));
                break;
            case "tubing/1":
                StockValue tubing = ReadValue(reader, PartKind.Tubing, "boreMm", new(0.2, 10, "mm"), Units.FromMm);
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
            _json.Add(_overlaid is null && _ofValues is null ? CanonicalJson.Of(at.Element) : Overlaid(at.Element));
        }
    }

    // The stock reads back to the same inventory from its JSON alone, without the book.
    private string Overlaid(JsonElement element)
    {
        JsonObject json = JsonObject.Create(element)!;
        if (_overlaid is { } supply)
        {
            json["supply"] = SupplyJson.Of(supply);
        }

        if (_ofValues is { } values)
        {
            json[ValueSupply] = values;
        }

        using JsonDocument document = JsonDocument.Parse(json.ToJsonString());
        return CanonicalJson.Of(document.RootElement);
    }

    private Supply? Supplied(ObjectReader reader, PartKind kind, string partNumber)
    {
        Supply? stated = _supplies.Read(reader);
        Supply? supply = _book is null ? stated : _book.Over(PartName.Of(kind, partNumber, 0), stated);
        _overlaid = ReferenceEquals(supply, stated) ? null : supply;
        return supply;
    }

    /// <summary>Holds the currencies of the books against that of the items. Call it when all items were added.</summary>
    public void Finish()
    {
        foreach (JsonCursor book in _readBooks)
        {
            _supplies.ReadCurrency(book.AsObject()!);
        }
    }

    /// <summary>The whole stock. Call it when there are no faults.</summary>
    public Inventory ToInventory() => new(
        [.. _receivers.OrderBy(receiver => receiver.Receiver.PartNumber, StringComparer.Ordinal)],
        Sorted(_dampers),
        Sorted(_tubings),
        new PassiveStock(Sorted(_passives[PassiveKind.Resistor]), Sorted(_passives[PassiveKind.Capacitor]), Sorted(_passives[PassiveKind.Coil])),
        $"[{string.Join(',', _json.Order(StringComparer.Ordinal))}]")
    {
        Folders = [.. _books.Keys],
        Reservations = [.. _books.Values.SelectMany(book => book?.Reservations ?? [])],
    };

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
            Supplied(reader, PartKind.Receiver, partNumber));
        foreach (ObjectReader? part in new[] { electrical, motor, mechanical, acoustical, limits, body, spread })
        {
            part?.Finish();
        }

        return receiver;

        double Side(string key) => Units.FromMm(body.RequiredNumber(key, side));
    }

    private StockValue ReadValue(ObjectReader reader, PartKind part, string key, NumberRange range, Func<double, double> toSi)
    {
        string partNumber = ReadPartNumber(reader, required: true)!;
        _ = (reader.Text("maker"), reader.Text("description", 1000));
        return new(toSi(reader.RequiredNumber(key, range)), partNumber, Tolerance(reader), 0, Supplied(reader, part, partNumber));
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
        IReadOnlyDictionary<double, Supply> own = ReadValueSupply(reader, kind, values);
        Dictionary<double, Supply?> supplies = values.ToDictionary(value => value, value => own.GetValueOrDefault(value) ?? supply);
        if (_book is { } book && values.Any(value => book.Entry(PartName.Of(kind.Part, partNumber, value)) is not null))
        {
            supplies = values.ToDictionary(value => value, value => book.Over(PartName.Of(kind.Part, partNumber, value), supplies[value]));
            _ofValues = new JsonArray([.. values.Where(value => supplies[value] is not null && !ReferenceEquals(supplies[value], supply))
                .Select(value => new JsonObject { [kind.Unit] = kind.FromSi(value), ["supply"] = SupplyJson.Of(supplies[value]!) })]);
        }

        _passives[kind].AddRange(values.Select(value => new StockValue(value, partNumber, tolerance, loss, supplies[value])));
    }

    /// <summary>Supplies of single values, each in place of the entry's own.</summary>
    private Dictionary<double, Supply> ReadValueSupply(ObjectReader reader, PassiveKind kind, IReadOnlyList<double> values)
    {
        Dictionary<double, Supply> own = [];
        foreach (JsonCursor at in reader.List(ValueSupply, max: 2000) ?? [])
        {
            if (at.AsObject($"an object with \"{kind.Unit}\" and \"supply\"") is not { } item)
            {
                continue;
            }

            double? value = item.Required(kind.Unit, kind.Range.ToString())?.AsNumber(kind.Range) is { } number ? kind.ToSi(number) : null;
            _ = item.Required("supply", "an object with price and stock");
            Supply? supply = _supplies.Read(item);
            item.Finish();
            if (value is { } si && values.Count > 0 && !values.Contains(si))
            {
                item.Optional(kind.Unit)!.Refuse("a value of this entry");
            }
            else if (value is { } once && supply is not null && !own.TryAdd(once, supply))
            {
                item.Optional(kind.Unit)!.Refuse("each value of this entry once");
            }
        }

        return own;
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
