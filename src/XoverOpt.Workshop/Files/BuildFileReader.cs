using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Reads what a build file says of the build beside its ways: cost, figures, response.</summary>
internal static class BuildFileReader
{
    /// <summary>Names of the figures that are one number, in the order they are written.</summary>
    public static readonly IReadOnlyList<string> FigureNames =
    [
        "magnitudeRmsDb", "magnitudeMaxDb", "phaseRmsDeg", "phaseMaxDeg", "arrivalSpreadUs", "summingLossDb",
        "splAt100mV", "splAt100mV1kHz", "splAt1mW", "splAt1mW1kHz", "impedanceMinOhm", "impedance1kHzOhm", "sourceShiftDb",
        "partsCost", "unpricedParts", "receivers", "parts", "bodyVolumeMm3",
    ];

    private static readonly NumberRange Any = new(double.MinValue, double.MaxValue);

    /// <summary>A number, or null for one that could not be computed.</summary>
    public static double? NumberOrNull(ObjectReader reader, string key) =>
        reader.Optional(key) is { } at && at.Element.ValueKind != System.Text.Json.JsonValueKind.Null ? at.AsNumber(Any) : null;

    /// <summary>The cost; null when the file states none.</summary>
    public static CostBreakdown? Cost(ObjectReader? reader)
    {
        if (reader is null)
        {
            return null;
        }

        CostBreakdown cost = new(Part("total"), Part("magnitude"), Part("phase"), Part("arrival"), Part("summing"), Part("penalty"));
        reader.Finish();
        return cost;

        double Part(string key) => NumberOrNull(reader, key) ?? double.NaN;
    }

    /// <summary>The figures that are one number each.</summary>
    public static IReadOnlyDictionary<string, double?> Figures(ObjectReader? reader)
    {
        Dictionary<string, double?> figures = [];
        if (reader is null)
        {
            return figures;
        }

        foreach (string name in FigureNames.Where(reader.Has))
        {
            figures[name] = NumberOrNull(reader, name);
        }

        foreach (JsonCursor delay in reader.List("arrivalUs", max: 100) ?? [])
        {
            if (delay.Element.ValueKind != System.Text.Json.JsonValueKind.Null)
            {
                delay.AsNumber(Any);
            }
        }

        foreach (JsonCursor item in reader.List("headroom", max: 1000) ?? [])
        {
            if (item.AsObject() is { } peak)
            {
                _ = (NumberOrNull(peak, "hz"), NumberOrNull(peak, "db"), NumberOrNull(peak, "socketVolt"), peak.Text("way"), peak.Text("limit"));
                peak.Finish();
            }
        }

        reader.Finish();
        return figures;
    }
}
