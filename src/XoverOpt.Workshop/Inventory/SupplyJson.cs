using System.Text.Json.Nodes;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Writes what items say of price and stock, as <see cref="SupplyReader"/> reads it.</summary>
internal static class SupplyJson
{
    /// <summary>A supply as an object of its own.</summary>
    public static JsonObject Of(Supply supply)
    {
        JsonObject json = [];
        Add(json, supply.UnitPrice, supply.Currency, supply.Stock, supply.LeadTimeDays, supply.PackSize, supply.PriceBreaks.Count == 0 ? null : supply.PriceBreaks);
        return json;
    }

    /// <summary>Adds what is there.</summary>
    public static void Add(JsonObject json, decimal? unitPrice, string? currency, decimal? stock, int? leadTimeDays, int? packSize, IReadOnlyList<PriceBreak>? breaks)
    {
        Put("unitPrice", unitPrice);
        if (currency is { Length: > 0 })
        {
            json["currency"] = currency;
        }

        Put("stock", stock);
        Put("leadTimeDays", leadTimeDays);
        Put("packSize", packSize);
        if (breaks is not null)
        {
            json["priceBreaks"] = new JsonArray([.. breaks.Select(step => new JsonObject { ["from"] = step.From, ["unitPrice"] = step.UnitPrice })]);
        }

        void Put(string key, decimal? value)
        {
            if (value is { } number)
            {
                json[key] = number;
            }
        }
    }
}
