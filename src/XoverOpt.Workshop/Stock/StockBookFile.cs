using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace XoverOpt.Workshop.Stock;

/// <summary>Reads and writes the stock book (stock-book/1).</summary>
public static class StockBookFile
{
    private static readonly JsonSerializerOptions _written = new() { WriteIndented = true, Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>Reads the book of a drawer.</summary>
    /// <param name="folder">The drawer's folder.</param>
    /// <returns>The book; an empty one where there is none.</returns>
    public static Reading<StockBook> In(string folder)
    {
        string path = Path.Combine(folder, StockBook.FileName);
        return Path.Exists(path) ? Read(path) : new(StockBook.Empty, []);
    }

    /// <summary>Reads a book.</summary>
    public static Reading<StockBook> Read(string path)
    {
        FaultList faults = new();
        return faults.End(JsonSource.Open(path, faults) is { } at ? Read(at) : null);
    }

    /// <summary>Reads a book.</summary>
    internal static StockBook? Read(JsonCursor at)
    {
        int before = at.Faults.Count;
        if (at.AsObject("a stock book") is not { } reader || reader.Format(StockBook.Format) is null)
        {
            return null;
        }

        _ = reader.Text("note", 1000);
        string currency = new SupplyReader().ReadCurrency(reader);
        long revision = reader.Required("revision", "a whole number")?.AsWhole(0, 1L << 53) ?? 0;
        StockBook book = new()
        {
            Revision = revision,
            Currency = currency,
            Parts = [.. (reader.List("parts", max: 100_000) ?? []).Select(part => ReadEntry(part, currency)).OfType<StockEntry>()],
            Reservations = [.. (reader.List("reservations", max: 10_000) ?? []).Select(ReadReservation).OfType<Reservation>()],
        };
        reader.Finish();
        foreach (string twice in Twice(book.Parts.Select(entry => entry.Part)).Concat(Twice(book.Reservations.Select(reservation => reservation.Id))))
        {
            at.Refuse("each part and each reservation once", found: $"\"{twice}\" twice");
        }

        return at.Faults.Count == before ? book : null;
    }

    /// <summary>The text of a book; the same book gives the same text.</summary>
    public static byte[] Write(StockBook book)
    {
        JsonObject json = new()
        {
            ["format"] = StockBook.Format,
            ["note"] = "Written by the program; change it with: stock import. It lays counts and prices over the catalogue beside it.",
            ["revision"] = book.Revision,
        };
        if (book.Currency.Length > 0)
        {
            json["currency"] = book.Currency;
        }

        json["parts"] = new JsonArray([.. book.Parts.OrderBy(entry => entry.Part, StringComparer.Ordinal).Select(Json)]);
        json["reservations"] = new JsonArray([.. book.Reservations.Select(Json)]);
        return [.. System.Text.Encoding.UTF8.GetBytes(json.ToJsonString(_written)), (byte)'\n'];
    }

    private static StockEntry? ReadEntry(JsonCursor at, string currency)
    {
        if (at.AsObject("an object with a \"part\"") is not { } reader)
        {
            return null;
        }

        StockEntry entry = new(reader.RequiredText("part", 200))
        {
            Stock = reader.Optional("stock")?.AsAmount(1_000_000_000),
            UnitPrice = reader.Optional("unitPrice")?.AsAmount(1_000_000),
            PackSize = (int?)reader.Whole("packSize", 1, 1_000_000),
            LeadTimeDays = (int?)reader.Whole("leadTimeDays", 0, 3650),
            PriceBreaks = reader.Has("priceBreaks") ? SupplyReader.ReadPriceBreaks(reader, null, apart: true) : null,
        };
        if (currency.Length == 0 && reader.Optional("unitPrice") is { } price)
        {
            price.Refuse("a price in a book that names its currency", "Name it at the top: \"currency\": \"EUR\".");
        }

        reader.Finish();
        return entry;
    }

    private static Reservation? ReadReservation(JsonCursor at)
    {
        if (at.AsObject("an object that says what is set aside") is not { } reader)
        {
            return null;
        }

        Reservation reservation = new(
            reader.RequiredText("id", 40),
            reader.RequiredText("build", 100),
            reader.RequiredText("label", 300),
            (int)(reader.Required("sets", "a whole number")?.AsWhole(1, 1_000_000) ?? 0),
            reader.RequiredText("who", 100),
            ReadTime(reader),
            [.. (reader.RequiredList("lines", 1, 1000) ?? []).Select(ReadLine).OfType<ReservedPart>()]);
        reader.Finish();
        return reservation;
    }

    private static ReservedPart? ReadLine(JsonCursor at)
    {
        if (at.AsObject("an object with \"part\" and \"quantity\"") is not { } reader)
        {
            return null;
        }

        ReservedPart line = new(reader.RequiredText("part", 200), reader.Required("quantity", "a number")?.AsAmount(1_000_000_000) ?? 0);
        reader.Finish();
        return line;
    }

    private static DateTimeOffset ReadTime(ObjectReader reader)
    {
        const string Words = "a time with its offset, such as \"2030-05-31T18:00:00Z\"";
        if (reader.Required("when", Words) is not { } at || at.AsText(40) is not { } text)
        {
            return default;
        }

        if (DateTimeOffset.TryParseExact(text, "yyyy-MM-dd'T'HH:mm:ssK", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset time))
        {
            return time;
        }

        at.Refuse(Words);
        return default;
    }

    private static JsonObject Json(StockEntry entry)
    {
        JsonObject json = new() { ["part"] = entry.Part };
        SupplyJson.Add(json, entry.UnitPrice, null, entry.Stock, entry.LeadTimeDays, entry.PackSize, entry.PriceBreaks);
        return json;
    }

    private static JsonObject Json(Reservation reservation) => new()
    {
        ["id"] = reservation.Id,
        ["build"] = reservation.Build,
        ["label"] = reservation.Label,
        ["sets"] = reservation.Sets,
        ["who"] = reservation.Who,
        ["when"] = reservation.When.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture),
        ["lines"] = new JsonArray([.. reservation.Lines.Select(line => new JsonObject { ["part"] = line.Part, ["quantity"] = line.Quantity })]),
    };

    private static IEnumerable<string> Twice(IEnumerable<string> names) => names.GroupBy(name => name).Where(name => name.Count() > 1).Select(name => name.Key);
}
