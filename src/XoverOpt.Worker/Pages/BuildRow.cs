using System.Text.Json;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>A stored build as a row of a table: its figures as the build file has them. Null where the file has none.</summary>
internal sealed record BuildRow
{
    /// <summary>1 is best.</summary>
    public required int Rank { get; init; }

    /// <summary>Whether it keeps every limit.</summary>
    public required bool Feasible { get; init; }

    /// <summary>The limits it breaks, in words.</summary>
    public required IReadOnlyList<string> BrokenLimits { get; init; }

    /// <summary>Cost.</summary>
    public required double Cost { get; init; }

    /// <summary>What values that can be bought cost, % of the cost with ideal ones.</summary>
    public double? LossPercent { get; init; }

    /// <summary>Figures by their names in a build file.</summary>
    public required IReadOnlyDictionary<string, double?> Figures { get; init; }

    /// <summary>Arrival of each way, µs.</summary>
    public required IReadOnlyList<double?> ArrivalUs { get; init; }

    /// <summary>Its ways, such as "low 2×OS-L2 ∥".</summary>
    public required IReadOnlyList<string> Ways { get; init; }

    /// <summary>A figure; null where the file has none of that name.</summary>
    public double? this[string figure] => Figures.GetValueOrDefault(figure);

    /// <summary>Reads a stored build.</summary>
    public static BuildRow Of(StoredBuild build)
    {
        using JsonDocument document = JsonDocument.Parse(build.Json);
        JsonElement root = document.RootElement;
        return new()
        {
            Rank = build.Rank,
            Feasible = root.GetProperty("feasible").GetBoolean(),
            BrokenLimits = [.. root.GetProperty("brokenLimits").EnumerateArray().Select(limit => limit.GetString()!)],
            Cost = build.Cost,
            LossPercent = Number(root.GetProperty("snappingLossPercent")),
            Figures = root.GetProperty("figures").EnumerateObject().Where(figure => figure.Value.ValueKind is JsonValueKind.Number or JsonValueKind.Null)
                .ToDictionary(figure => figure.Name, figure => Number(figure.Value)),
            ArrivalUs = [.. root.GetProperty("figures").GetProperty("arrivalUs").EnumerateArray().Select(Number)],
            Ways = [.. root.GetProperty("ways").EnumerateArray().Select(Way)],
        };
    }

    private static double? Number(JsonElement at) => at.ValueKind == JsonValueKind.Number ? at.GetDouble() : null;

    private static string Way(JsonElement way)
    {
        int count = way.GetProperty("count").GetInt32();
        string joint = count == 1 ? "" : way.GetProperty("wiring").GetString() == "series" ? " +" : " ∥";
        string turned = way.GetProperty("polarity").GetString() == "inverted" ? " ⟲" : "";
        return $"{way.GetProperty("name").GetString()} {(count == 1 ? "" : Text.Numbers.Invariant($"{count}×"))}{way.GetProperty("receiver").GetString()}{joint}{turned}";
    }
}
