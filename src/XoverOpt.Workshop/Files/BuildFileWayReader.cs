using XoverOpt.Acoustics;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads the ways of a build. Ranges are wide bounds against slips of a unit or a sign, the same as for stock and jobs.
/// </summary>
/// <param name="receivers">The receivers that may be named, by part number.</param>
/// <param name="mayBeGone">Whether others may be named, too; of these nothing is known, and their parameters are NaN.</param>
internal sealed class BuildFileWayReader(IReadOnlyDictionary<string, Receiver> receivers, bool mayBeGone = false)
{
    private const int MostSections = 32;
    private const int MostPieces = 64;

    private static readonly (string, Wiring)[] Wirings = [("parallel", Wiring.Parallel), ("series", Wiring.Series)];
    private static readonly (string, Polarity)[] Polarities = [("normal", Polarity.Normal), ("inverted", Polarity.Inverted)];
    private static readonly (string, SectionPlace)[] Places = [("series", SectionPlace.Series), ("shunt", SectionPlace.Shunt)];

    // Bit 0 the resistor, bit 1 the capacitor, bit 2 the coil.
    private static readonly (string, int)[] Kinds =
        [.. Enumerable.Range(1, 7).Select(bits => (BuildFileWays.Kind((bits & 1) != 0, (bits & 2) != 0, (bits & 4) != 0), bits))];

    /// <summary>The ways; names must differ.</summary>
    public IReadOnlyList<Way> Read(IReadOnlyList<JsonCursor> items)
    {
        List<Way> ways = [];
        foreach (JsonCursor item in items)
        {
            if (item.AsObject() is not { } reader)
            {
                continue;
            }

            Way? way = ReadWay(reader);
            if (way is not null && ways.Any(other => other.Name == way.Name))
            {
                reader.Optional("name")!.Refuse("a name for each way that no other has", found: $"the name \"{way.Name}\" a second time");
            }

            if (way is not null)
            {
                ways.Add(way);
            }
        }

        return ways;
    }

    private Way? ReadWay(ObjectReader reader)
    {
        string name = reader.RequiredText("name", 40);
        Receiver? receiver = ReadReceiver(reader);
        int count = (int)(reader.Whole("count", 1, 64) ?? 1);
        Wiring wiring = reader.Choice("wiring", Wirings) ?? Wiring.Parallel;
        Polarity polarity = reader.Choice("polarity", Polarities) ?? Polarity.Normal;
        NetworkSection[] network = [.. (reader.List("network", max: MostSections) ?? []).Select(ReadSection).OfType<NetworkSection>()];
        double damper = Units.FromOhmCgs(reader.Number("damperOhmCgs", NumberRange.NotNegative(1e6, "cgs ohm")) ?? 0);
        _ = reader.Text("damperPartNumber", 80);
        TubeSegment[] tube = [.. (reader.List("tube", max: MostPieces) ?? []).Select(ReadPiece).OfType<TubeSegment>()];
        reader.Finish();
        return receiver is null ? null : new Way(name, receiver, count, wiring, polarity, network, damper, tube);
    }

    private Receiver? ReadReceiver(ObjectReader reader)
    {
        if (reader.Required("receiver", "the part number of a receiver") is not { } at || at.AsText(80) is not { } partNumber)
        {
            return null;
        }

        if (!receivers.TryGetValue(partNumber, out Receiver? receiver) && mayBeGone)
        {
            return Gone(partNumber);
        }

        if (receiver is null)
        {
            at.Refuse(
                "the part number of a receiver in the inventory",
                Nearest.Hint(partNumber, receivers.Keys),
                $"the unknown receiver \"{partNumber}\"");
        }

        return receiver;
    }

    private static Receiver Gone(string partNumber) => new()
    {
        PartNumber = partNumber,
        DcResistance = double.NaN,
        ForceFactor = double.NaN,
        Mass = double.NaN,
        Compliance = double.NaN,
        Resistance = double.NaN,
        DiaphragmArea = double.NaN,
        RearVolume = double.NaN,
        FrontVolume = double.NaN,
        SpoutLength = double.NaN,
        SpoutBore = double.NaN,
    };

    private static NetworkSection? ReadSection(JsonCursor at)
    {
        if (at.AsObject() is not { } reader)
        {
            return null;
        }

        SectionPlace? place = reader.Required("place", "\"series\" or \"shunt\"")?.AsChoice(Places);
        int? kind = reader.Required("kind", "which parts it holds, such as \"resistor\"")?.AsChoice(Kinds);
        if (place is null || kind is not { } parts)
        {
            return null;
        }

        double? Value(int bit, PassiveKind part, out double loss)
        {
            loss = 0;
            if ((parts & bit) == 0)
            {
                return null;
            }

            double value = part.ToSi(reader.RequiredNumber(part.Unit, part.Range));
            loss = part.Loss is { } key ? reader.Number(key, NumberRange.NotNegative(10_000, "Ω")) ?? 0 : 0;
            _ = reader.Text(part.Name + "PartNumber", 80);
            return value;
        }

        double? resistance = Value(1, PassiveKind.Resistor, out _), capacitance = Value(2, PassiveKind.Capacitor, out double esr),
            inductance = Value(4, PassiveKind.Coil, out double dcr);
        reader.Finish();
        return new NetworkSection(place.Value, resistance, capacitance, inductance, esr, dcr);
    }

    private static TubeSegment? ReadPiece(JsonCursor at)
    {
        if (at.AsObject() is not { } reader)
        {
            return null;
        }

        TubeSegment piece = new(
            Units.FromMm(reader.RequiredNumber("lengthMm", NumberRange.NotNegative(100, "mm"))),
            Units.FromMm(reader.RequiredNumber("boreMm", new(0.2, 10, "mm"))));
        _ = reader.Text("partNumber", 80);
        reader.Finish();
        return piece;
    }
}
