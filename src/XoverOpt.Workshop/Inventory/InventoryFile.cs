using System.Text.Json;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads inventories: a folder of JSON files, a file, a list of such paths, or the stock itself inline. A file holds one item or a
/// list of items.
/// </summary>
public static class InventoryFile
{
    /// <summary>Most files one folder may bring.</summary>
    public const int MostFiles = 2000;

    /// <summary>Most paths one inventory may list.</summary>
    public const int MostPaths = 200;

    /// <summary>Reads a folder or a file.</summary>
    public static Reading<Inventory> Read(string path)
    {
        FaultList faults = new();
        using JsonDocument written = JsonDocument.Parse($"\"{JsonEncodedText.Encode(path)}\"");
        JsonCursor at = new(path, "", written.RootElement.Clone(), faults);
        return faults.End(Read(at, new StockPlace("", Confined: false)));
    }

    /// <summary>Reads an inventory as a job names or carries it.</summary>
    /// <param name="at">A path, an item, or a list of paths and items.</param>
    /// <param name="place">Where paths start.</param>
    /// <returns>The inventory; null after any fault in it.</returns>
    internal static Inventory? Read(JsonCursor at, StockPlace place)
    {
        int before = at.Faults.Count;
        InventoryItems items = new(at.Faults);
        HashSet<string> seen = [];
        if (at.Element.ValueKind == JsonValueKind.Array)
        {
            IReadOnlyList<JsonCursor> entries = at.AsList(min: 1) ?? [];
            if (entries.Count(entry => entry.Element.ValueKind == JsonValueKind.String) > MostPaths)
            {
                at.Refuse($"at most {MostPaths} paths", found: "more");
                return null;
            }

            foreach (JsonCursor entry in entries)
            {
                AddEntry(entry, place, items, seen);
            }
        }
        else
        {
            AddEntry(at, place, items, seen);
        }

        items.Finish();
        return at.Faults.Count == before ? items.ToInventory() : null;
    }

    private static void AddEntry(JsonCursor at, StockPlace place, InventoryItems items, HashSet<string> seen)
    {
        if (at.Element.ValueKind == JsonValueKind.Object)
        {
            items.Add(at);
            return;
        }

        if (at.Element.ValueKind != JsonValueKind.String)
        {
            at.Refuse("a folder, a file, the stock itself, or a list of these");
            return;
        }

        if (place.Resolve(at) is not { } found)
        {
            return;
        }

        if (!seen.Add(Path.GetFullPath(found.Path)))
        {
            at.Refuse("each folder or file once", "Remove one of the two.");
            return;
        }

        if (!Directory.Exists(found.Path))
        {
            string beside = Path.GetDirectoryName(Path.GetFullPath(found.Path)) ?? "";
            AddFile(found.Path, found.Shown, at.Faults, items, ReadBook(beside, Path.GetDirectoryName(found.Shown) ?? "", at, place, items));
            return;
        }

        (string Path, string Shown)[] files;
        try
        {
            files = [.. place.FilesIn(found.Path, found.Shown, at).Take(MostFiles + 1)];
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            at.Refuse("a folder that can be read", found: $"a folder that cannot be read: {found.Shown}");
            return;
        }

        if (files.Length is 0 or > MostFiles)
        {
            at.Refuse(
                $"a folder of 1 to {MostFiles} JSON files",
                found: files.Length == 0 ? $"no JSON file in the folder {found.Shown}" : $"more than {MostFiles} files in {found.Shown}");
            return;
        }

        StockBook? book = ReadBook(found.Path, found.Shown, at, place, items);
        foreach ((string path, string shown) in files)
        {
            AddFile(path, shown, at.Faults, items, book);
        }
    }

    private static StockBook? ReadBook(string folder, string shown, JsonCursor at, StockPlace place, InventoryItems items) =>
        items.BookOf(folder, () => place.BookIn(folder, shown, at) is { } book ? JsonSource.Open(book.Path, at.Faults, book.Shown) : null);

    private static void AddFile(string path, string shown, FaultList faults, InventoryItems items, StockBook? book)
    {
        if (JsonSource.Open(path, faults, shown) is not { } top)
        {
            return;
        }

        foreach (JsonCursor item in top.Element.ValueKind == JsonValueKind.Array ? top.AsList() ?? [] : [top])
        {
            items.Add(item, book);
        }
    }
}
