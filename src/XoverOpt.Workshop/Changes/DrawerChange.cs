using System.Text.Json.Nodes;

namespace XoverOpt.Workshop.Changes;

/// <summary>What became of a part in the drawer.</summary>
public enum DrawerChangeKind
{
    /// <summary>It is new.</summary>
    Added,

    /// <summary>It is gone.</summary>
    Removed,

    /// <summary>Its count changed.</summary>
    Stock,

    /// <summary>Its price changed.</summary>
    Price,

    /// <summary>Other terms of supply changed: lead time, pack, price breaks.</summary>
    Supply,

    /// <summary>What is stated of the part itself changed.</summary>
    Parameters,
}

/// <summary>A difference between two drawers.</summary>
/// <param name="Part">The part number; what a series is where it has none.</param>
/// <param name="Kind">What became of it.</param>
/// <param name="Words">In words.</param>
public sealed record DrawerChange(string Part, DrawerChangeKind Kind, string Words)
{
    /// <summary>Everything that differs, by part; a part may have several changes.</summary>
    public static IReadOnlyList<DrawerChange> Between(Inventory old, Inventory now)
    {
        SortedDictionary<string, JsonObject> before = Items(old), after = Items(now);
        return [.. before.Keys.Union(after.Keys).Order(StringComparer.Ordinal)
            .SelectMany(part => Of(part, before.GetValueOrDefault(part), after.GetValueOrDefault(part)))];
    }

    private static IEnumerable<DrawerChange> Of(string part, JsonObject? old, JsonObject? now)
    {
        if (old is null || now is null)
        {
            JsonNode item = (old ?? now)!;
            string what = (string)item["format"]! is var format && format.StartsWith("passives", StringComparison.Ordinal) ? (string)item["kind"]! : format.Split('/')[0];
            yield return old is null
                ? new(part, DrawerChangeKind.Added, $"the {what} {part} is new{Stock(now!["supply"]?["stock"])}")
                : new(part, DrawerChangeKind.Removed, $"the {what} {part} is gone");
            yield break;
        }

        JsonNode? was = old["supply"], has = now["supply"];
        if (!JsonNode.DeepEquals(was?["stock"], has?["stock"]))
        {
            yield return new(part, DrawerChangeKind.Stock, has?["stock"]?.ToString() == "0"
                ? $"{part} is out of stock, where there were {was?["stock"]?.ToString() ?? "an unknown number"}"
                : $"{part}: {has?["stock"]?.ToString() ?? "an unknown number"} in stock instead of {was?["stock"]?.ToString() ?? "an unknown number"}");
        }

        if (!JsonNode.DeepEquals(was?["unitPrice"], has?["unitPrice"]))
        {
            string currency = has?["currency"]?.ToString() ?? was?["currency"]?.ToString() ?? "";
            yield return new(part, DrawerChangeKind.Price, $"{part} costs {Price(has)} {currency} instead of {Price(was)}");
        }

        if (!JsonNode.DeepEquals(Without(was, "stock", "unitPrice"), Without(has, "stock", "unitPrice")))
        {
            yield return new(part, DrawerChangeKind.Supply, $"{part}: lead time, pack or price breaks are others");
        }

        string[] keys = [.. old.Select(pair => pair.Key).Union(now.Select(pair => pair.Key)).Where(key => key != "supply" && !JsonNode.DeepEquals(old[key], now[key])).Order(StringComparer.Ordinal)];
        if (keys.Length > 0)
        {
            yield return new(part, DrawerChangeKind.Parameters, $"{part}: other figures are stated for it ({string.Join(", ", keys)})");
        }
    }

    private static string Price(JsonNode? supply) => supply?["unitPrice"] is { } price
        ? price.GetValue<double>().ToString("0.00####", System.Globalization.CultureInfo.InvariantCulture)
        : "an unknown price";

    private static string Stock(JsonNode? stock) => stock is null ? "" : $", {stock} in stock";

    private static JsonObject Without(JsonNode? supply, params string[] keys) =>
        new((supply as JsonObject ?? []).Where(pair => !keys.Contains(pair.Key)).Select(pair => KeyValuePair.Create(pair.Key, pair.Value?.DeepClone())));

    private static SortedDictionary<string, JsonObject> Items(Inventory inventory)
    {
        SortedDictionary<string, JsonObject> items = new(StringComparer.Ordinal);
        foreach (JsonObject item in JsonNode.Parse(inventory.Json)!.AsArray().Select(item => item!.AsObject()))
        {
            string name = item["partNumber"]?.ToString() ?? $"{item["kind"]} {item["series"]?.ToString() ?? "list"}";
            string key = name;
            for (int n = 2; !items.TryAdd(key, item); n++)
            {
                key = $"{name} ({n})";
            }
        }

        return items;
    }
}
