using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace XoverOpt.Workshop.Changes;

/// <summary>Something a job asks for that is not what the other one asked for.</summary>
/// <param name="Area">The key of the job it is in, such as "target".</param>
/// <param name="Place">Where in the job, in its own words, such as "limits maxPartsCost" or "target points at 50 Hz db".</param>
/// <param name="Old">What stood there; null for nothing.</param>
/// <param name="New">What stands there; null for nothing.</param>
public sealed record JobChange(string Area, string Place, string? Old, string? New)
{
    /// <summary>Areas that move the cost of a build that stays as it is.</summary>
    public static readonly IReadOnlyList<string> CostAreas = ["target", "phase", "drive", "ear", "cost", "limits"];

    private static readonly string[] NotAsked = ["format", "inventory", "known", "note", "schedule"];

    /// <summary>In words.</summary>
    public string Words => Old is null ? $"{Place} is now {New}; nothing was said before"
        : New is null ? $"{Place} was {Old}; nothing is said now"
        : $"{Place} is {New} instead of {Old}";

    /// <summary>Everything that differs between two jobs, in the order of their keys; the drawer and what a job knows beforehand are told elsewhere.</summary>
    /// <param name="old">The earlier job, self-contained JSON.</param>
    /// <param name="now">The later one.</param>
    public static IReadOnlyList<JobChange> Between(string old, string now)
    {
        JsonObject before = JsonNode.Parse(old)!.AsObject(), after = JsonNode.Parse(now)!.AsObject();
        return [.. before.Select(pair => pair.Key).Union(after.Select(pair => pair.Key)).Except(NotAsked).Order(StringComparer.Ordinal)
            .SelectMany(area => area == "from" ? From(before[area], after[area]) : Walk(area, area, before[area], after[area]))];
    }

    private static IEnumerable<JobChange> From(JsonNode? old, JsonNode? now)
    {
        string? before = Words(old), after = Words(now);
        return JsonNode.DeepEquals(old, now) ? [] : [new("from", "from", before, before == after ? $"{after} (another build)" : after)];

        static string? Words(JsonNode? from) => from is null
            ? null
            : $"build {from["build"]!["rank"]?.ToString() ?? "?"} of the job \"{from["build"]!["job"] ?? "?"}\", only {string.Join(" and ", from["free"]!.AsArray())} free";
    }

    private static IEnumerable<JobChange> Walk(string area, string place, JsonNode? old, JsonNode? now)
    {
        if (JsonNode.DeepEquals(old, now))
        {
            return [];
        }

        if (old is JsonObject before && now is JsonObject after)
        {
            return before.Select(pair => pair.Key).Union(after.Select(pair => pair.Key)).SelectMany(key => Walk(area, $"{place} {key}", before[key], after[key]));
        }

        return old is JsonArray one && now is JsonArray other && Keys(one) is { } ones && Keys(other) is { } others
            ? ones.Keys.Union(others.Keys).SelectMany(key => Walk(area, $"{place} {key}", ones.GetValueOrDefault(key), others.GetValueOrDefault(key)))
            : [new(area, place, Short(old), Short(now))];
    }

    /// <summary>The items of a list by what tells them apart, a name or a frequency; null where nothing does.</summary>
    private static Dictionary<string, JsonNode?>? Keys(JsonArray list)
    {
        Dictionary<string, JsonNode?> items = [];
        foreach (JsonNode? item in list)
        {
            string? key = item is not JsonObject about ? null
                : about["name"] is { } name ? name.ToString()
                : about["hz"] is { } hz ? "at " + hz.GetValue<double>().ToString("0.###", CultureInfo.InvariantCulture) + " Hz"
                : null;
            if (key is null || !items.TryAdd(key, item))
            {
                return null;
            }
        }

        return items;
    }

    private static string? Short(JsonNode? node)
    {
        string? text = node switch
        {
            null => null,
            JsonValue value => value.ToString(),
            JsonObject item => string.Join(", ", item.Where(pair => pair.Key is not ("hz" or "name")).Select(pair => $"{pair.Key} {Short(pair.Value)}")),
            JsonArray items when items.All(item => item is JsonArray) => string.Join(" | ", items.Select(Short)),
            JsonArray items when Keys(items) is { Count: > 0 } keyed => string.Join("; ", keyed.Select(item => $"{item.Key} {Short(item.Value)}")),
            JsonArray items => string.Join(", ", items.Select(Short)),
            _ => node.ToJsonString(new JsonSerializerOptions()),
        };
        return text is { Length: > 120 } ? text[..119] + "…" : text;
    }
}
