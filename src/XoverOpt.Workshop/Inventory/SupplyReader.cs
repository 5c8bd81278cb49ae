using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Reads what items say of price and stock. One currency holds for a whole inventory, so one reader reads it all.</summary>
internal sealed class SupplyReader
{
    private string? _currency;

    /// <summary>The supply of an item; null where it states none.</summary>
    public Supply? Read(ObjectReader item)
    {
        if (item.Object("supply") is not { } reader)
        {
            return null;
        }

        decimal? price = reader.Optional("unitPrice")?.AsAmount(1_000_000);
        string currency = ReadCurrency(reader, required: price is not null);
        Supply supply = new(
            price,
            currency,
            reader.Optional("stock")?.AsAmount(1_000_000_000),
            (int?)reader.Whole("leadTimeDays", 0, 3650),
            (int)(reader.Whole("packSize", 1, 1_000_000) ?? 1))
        { PriceBreaks = ReadPriceBreaks(reader, price) };
        reader.Finish();
        return supply;
    }

    /// <summary>The currency an object names, which must be that of all read before; theirs where it names none, empty where none did.</summary>
    public string ReadCurrency(ObjectReader reader, bool required = false)
    {
        string currency = (required ? reader.RequiredText("currency", 3) : reader.Text("currency", 3)) ?? _currency ?? "";
        if (reader.Optional("currency") is { } at && currency.Length > 0)
        {
            if (currency.Length != 3 || !currency.All(char.IsAsciiLetterUpper))
            {
                at.Refuse("a currency code of three capital letters (ISO 4217), such as \"EUR\"");
            }
            else if ((_currency ??= currency) != currency)
            {
                at.Refuse($"one currency in the whole inventory, here \"{_currency}\"", "Prices in two currencies cannot be summed.");
            }
        }

        return currency;
    }

    /// <summary>Reads price breaks.</summary>
    /// <param name="supply">The object that bears them.</param>
    /// <param name="unitPrice">The price below the first break; null where another place states it.</param>
    /// <param name="apart">Whether another place may state it.</param>
    public static PriceBreak[] ReadPriceBreaks(ObjectReader supply, decimal? unitPrice, bool apart = false)
    {
        List<PriceBreak> breaks = [];
        foreach (JsonCursor at in supply.List("priceBreaks", max: 50) ?? [])
        {
            if (at.AsObject("an object such as { \"from\": 100, \"unitPrice\": 8.40 }") is not { } reader)
            {
                continue;
            }

            decimal? from = reader.Required("from", "a quantity")?.AsAmount(1_000_000_000);
            decimal? price = reader.Required("unitPrice", "a price")?.AsAmount(1_000_000);
            reader.Finish();
            if (unitPrice is null && !apart)
            {
                at.Refuse("price breaks beside a unitPrice only", "State unitPrice, the price below the first break.");
            }
            else if (from <= (breaks.Count == 0 ? 0 : breaks[^1].From))
            {
                reader.Optional("from")!.Refuse("quantities above 0, each above the one before");
            }
            else if (price > (breaks.Count == 0 ? unitPrice ?? price : breaks[^1].UnitPrice))
            {
                reader.Optional("unitPrice")!.Refuse("prices that do not rise with the quantity");
            }
            else if (from is { } quantity && price is { } lower)
            {
                breaks.Add(new(quantity, lower));
            }
        }

        // No breaks are the one empty array, so that supplies without any are equal.
        return breaks.Count == 0 ? [] : [.. breaks];
    }
}
