using System.Text;
using System.Text.Json;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>One part of a build: how much of it goes into one earpiece.</summary>
/// <param name="Part">Its one name, by <see cref="PartName"/>.</param>
/// <param name="Kind">What it is.</param>
/// <param name="Pieces">How many; cuts, for tubing.</param>
/// <param name="LengthMm">Length of all cuts together, mm, without what cutting loses; null for what comes in pieces.</param>
public sealed record BuildPart(string Part, PartKind Kind, int Pieces, double? LengthMm);

/// <summary>Reads off a build file which parts it names, without the job it answers.</summary>
public static class BuildParts
{
    /// <summary>The parts of one earpiece, each once, in the order they come first; none for a text that is no build file.</summary>
    /// <param name="json">The build file.</param>
    public static IReadOnlyList<BuildPart> Of(string json)
    {
        List<BuildPart> uses = [];
        try
        {
            // The response that follows is most of the text: it is not looked at.
            Utf8JsonReader reader = new(Encoding.UTF8.GetBytes(json));
            while (reader.Read())
            {
                if (reader.TokenType == JsonTokenType.PropertyName && reader.CurrentDepth == 1 && reader.ValueTextEquals("ways"u8))
                {
                    reader.Read();
                    uses.AddRange(JsonElement.ParseValue(ref reader).EnumerateArray().SelectMany(OfWay));
                    break;
                }
            }
        }
        catch (Exception failure) when (failure is JsonException or InvalidOperationException or KeyNotFoundException or FormatException)
        {
            // Whoever reads the build says what is wrong with it; what it uses is not known.
            return [];
        }

        return [.. uses.GroupBy(use => use.Part).Select(part => part.First() with { Pieces = part.Sum(use => use.Pieces), LengthMm = Length(part) })];
    }

    private static double? Length(IEnumerable<BuildPart> uses) =>
        uses.Any(use => use.LengthMm is not null) ? Math.Round(uses.Sum(use => use.LengthMm ?? 0), 6) : null;

    private static IEnumerable<BuildPart> OfWay(JsonElement way)
    {
        yield return new(way.GetProperty("receiver").GetString()!, PartKind.Receiver, way.TryGetProperty("count", out JsonElement count) ? count.GetInt32() : 1, null);
        foreach (JsonElement section in List(way, "network"))
        {
            foreach ((PartKind kind, string value, string number) in Kinds)
            {
                if (section.TryGetProperty(value, out JsonElement stated))
                {
                    yield return Piece(kind, section, number, stated.GetDouble());
                }
            }
        }

        if (way.TryGetProperty("damperOhmCgs", out JsonElement damper) && damper.GetDouble() > 0)
        {
            yield return Piece(PartKind.Damper, way, "damperPartNumber", damper.GetDouble());
        }

        foreach (JsonElement cut in List(way, "tube"))
        {
            yield return Piece(PartKind.Tubing, cut, "partNumber", cut.GetProperty("boreMm").GetDouble()) with { LengthMm = cut.GetProperty("lengthMm").GetDouble() };
        }
    }

    private static readonly (PartKind Kind, string Value, string Number)[] Kinds =
    [
        (PartKind.Resistor, "ohm", "resistorPartNumber"),
        (PartKind.Capacitor, "microfarad", "capacitorPartNumber"),
        (PartKind.Coil, "millihenry", "coilPartNumber"),
    ];

    private static JsonElement.ArrayEnumerator List(JsonElement from, string key) => from.TryGetProperty(key, out JsonElement list) ? list.EnumerateArray() : default;

    private static BuildPart Piece(PartKind kind, JsonElement at, string number, double value) =>
        new(PartName.Of(kind, at.TryGetProperty(number, out JsonElement part) ? part.GetString() : null, Si(kind, value)), kind, 1, null);

    private static double Si(PartKind kind, double value) => kind switch
    {
        PartKind.Capacitor => Units.FromMicrofarad(value),
        PartKind.Coil => Units.FromMillihenry(value),
        PartKind.Damper => Units.FromOhmCgs(value),
        PartKind.Tubing => Units.FromMm(value),
        _ => value,
    };
}
