using System.Numerics;
using System.Text.Json;
using XoverOpt.Acoustics;

namespace XoverOpt.Workshop;

/// <summary>Reads the response of a build file.</summary>
internal static class BuildFileResponse
{
    /// <summary>Most frequencies a response may have.</summary>
    public const int MostFrequencies = 20_000;

    private static readonly NumberRange Any = new(double.MinValue, double.MaxValue);

    /// <summary>The response; null when the file states none, or after a fault.</summary>
    public static EarpieceResponse? Read(ObjectReader? reader)
    {
        if (reader is null)
        {
            return null;
        }

        int before = reader.At.Faults.Count;
        double[] hz = Row(reader, "hz", null, NumberRange.Positive(1e6, "Hz"));
        if (hz.Zip(hz.Skip(1)).Any(pair => pair.First >= pair.Second))
        {
            reader.Optional("hz")!.Refuse("frequencies that rise", found: "frequencies that do not rise");
        }

        Complex[] pressure = Pair(reader, "pressure", hz.Length), impedance = Pair(reader, "impedance", hz.Length);
        List<WayShare> ways = [];
        foreach (JsonCursor item in reader.RequiredList("ways", max: 100) ?? [])
        {
            if (item.AsObject() is { } way)
            {
                ways.Add(new WayShare(way.RequiredText("name"), Pair(way, "pressure", hz.Length)));
                way.Finish();
            }
        }

        reader.Finish();
        return reader.At.Faults.Count == before ? new EarpieceResponse(hz, pressure, impedance, ways) : null;
    }

    private static Complex[] Pair(ObjectReader reader, string name, int count)
    {
        double[] re = Row(reader, name + "Re", count, Any), im = Row(reader, name + "Im", count, Any);
        return re.Length == im.Length ? [.. re.Zip(im, (a, b) => new Complex(a, b))] : [];
    }

    private static double[] Row(ObjectReader reader, string key, int? count, NumberRange range)
    {
        if (reader.RequiredList(key, max: MostFrequencies) is not { } items)
        {
            return [];
        }

        if (count is { } wanted && items.Count != wanted)
        {
            reader.Optional(key)!.Refuse(FormattableString.Invariant($"{wanted} numbers, one a frequency of \"hz\""), found: FormattableString.Invariant($"{items.Count} numbers"));
        }

        // A number that could not be computed is written as null and read as NaN.
        return [.. items.Select(item => item.Element.ValueKind == JsonValueKind.Null && range == Any ? double.NaN : item.AsNumber(range) ?? double.NaN)];
    }
}
