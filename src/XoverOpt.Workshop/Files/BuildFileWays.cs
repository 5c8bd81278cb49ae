using System.Text.Json;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Writes the ways of a build: what to buy, cut and solder, with the part numbers the problem's lists give.</summary>
internal static class BuildFileWays
{
    /// <summary>The ways, in their order.</summary>
    public static void Write(Utf8JsonWriter json, Earpiece earpiece, Problem problem)
    {
        json.WriteStartArray("ways");
        foreach (Way way in earpiece.Ways)
        {
            WayChoice? choice = problem.Ways.FirstOrDefault(w => w.Name == way.Name);
            json.WriteStartObject();
            json.WriteString("name", way.Name);
            json.WriteString("receiver", way.Receiver.PartNumber);
            json.WriteNumber("count", way.Count);
            json.WriteString("wiring", way.Wiring == Wiring.Parallel ? "parallel" : "series");
            json.WriteString("polarity", way.Polarity == Polarity.Normal ? "normal" : "inverted");
            json.WriteStartArray("network");
            foreach (NetworkSection section in way.Network)
            {
                json.WriteLine(line => Section(line, section, problem.PassivesInUse));
            }

            json.WriteEndArray();
            json.WriteNumber("damperOhmCgs", Units.ToOhmCgs(way.DamperResistance));
            PartNumber(json, "damperPartNumber", choice?.Dampers, way.DamperResistance);
            json.WriteStartArray("tube");
            foreach (TubeSegment piece in way.Tube)
            {
                json.WriteLine(line =>
                {
                    line.WriteNumber("lengthMm", Units.ToMm(piece.Length));
                    line.WriteNumber("boreMm", Units.ToMm(piece.Bore));
                    PartNumber(line, "partNumber", choice?.Bores, piece.Bore);
                });
            }

            json.WriteEndArray();
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    /// <summary>The kind of a section: its parts in the order resistor, capacitor, coil.</summary>
    public static string Kind(bool resistor, bool capacitor, bool coil) => string.Join(
        '-',
        new[] { resistor ? "resistor" : "", capacitor ? "capacitor" : "", coil ? "coil" : "" }.Where(part => part.Length > 0));

    private static void Section(Utf8JsonWriter json, NetworkSection section, PassiveStock passives)
    {
        json.WriteString("place", section.Place == SectionPlace.Series ? "series" : "shunt");
        json.WriteString("kind", Kind(section.Resistance.HasValue, section.Capacitance.HasValue, section.Inductance.HasValue));
        if (section.Resistance is { } ohm)
        {
            json.WriteNumber("ohm", ohm);
            PartNumber(json, "resistorPartNumber", passives.Resistors, ohm);
        }

        if (section.Capacitance is { } farad)
        {
            json.WriteNumber("microfarad", Units.ToMicrofarad(farad));
            Loss(json, "esrOhm", section.CapacitorEsr);
            PartNumber(json, "capacitorPartNumber", passives.Capacitors, farad, section.CapacitorEsr);
        }

        if (section.Inductance is { } henry)
        {
            json.WriteNumber("millihenry", Units.ToMillihenry(henry));
            Loss(json, "dcrOhm", section.CoilDcr);
            PartNumber(json, "coilPartNumber", passives.Coils, henry, section.CoilDcr);
        }
    }

    private static void Loss(Utf8JsonWriter json, string name, double ohm)
    {
        if (ohm != 0)
        {
            json.WriteNumber(name, ohm);
        }
    }

    private static void PartNumber(Utf8JsonWriter json, string name, IReadOnlyList<StockValue>? stock, double value, double loss = 0)
    {
        if (stock?.FirstOrDefault(s => s.Value == value && s.LossResistance == loss)?.PartNumber is { } partNumber)
        {
            json.WriteString(name, partNumber);
        }
    }
}
