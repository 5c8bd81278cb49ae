using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace XoverOpt.Workshop.Stock;

/// <summary>
/// The history of a stock book: a file beside it to which each change adds a line, and from which nothing is ever taken. A line is
/// written before the book is: should the process die between the two, the book never names that revision, the next change gets a
/// number beyond it and says which it follows, and so the line is known for one that never came into force.
/// </summary>
public static class StockHistory
{
    /// <summary>The name of the file.</summary>
    public const string FileName = "stock-history.jsonl";

    private static readonly JsonSerializerOptions _line = new(JsonSerializerDefaults.Web)
    {
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    };

    /// <summary>The changes that led to a revision, oldest first.</summary>
    /// <param name="folder">The drawer's folder.</param>
    /// <param name="revision">The revision of its book.</param>
    public static IReadOnlyList<StockEvent> Of(string folder, long revision)
    {
        Dictionary<long, StockEvent> all = All(folder).ToDictionary(made => made.Revision);
        List<StockEvent> way = [];
        for (long at = revision; all.Remove(at, out StockEvent? made); at = made.After)
        {
            way.Add(made);
        }

        way.Reverse();
        return way;
    }

    /// <summary>The largest number any line bears; 0 where there is none.</summary>
    internal static long Last(string folder) => All(folder).Select(made => made.Revision).DefaultIfEmpty(0).Max();

    /// <summary>Adds a line and has the system write it to the disk.</summary>
    internal static void Append(string folder, StockEvent made)
    {
        using FileStream file = new(Path.Combine(folder, FileName), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.Read);
        file.Seek(-Math.Min(1, file.Length), SeekOrigin.End);

        // A line that a dying process left unfinished stays a line of its own.
        string torn = file.Length > 0 && file.ReadByte() != '\n' ? "\n" : "";
        file.Write(Encoding.UTF8.GetBytes($"{torn}{JsonSerializer.Serialize(made, _line)}\n"));
        file.Flush(flushToDisk: true);
    }

    private static IEnumerable<StockEvent> All(string folder)
    {
        string path = Path.Combine(folder, FileName);
        return File.Exists(path) ? File.ReadLines(path).Select(Parse).OfType<StockEvent>().DistinctBy(made => made.Revision) : [];
    }

    private static StockEvent? Parse(string line)
    {
        try
        {
            return line.Length == 0 ? null : JsonSerializer.Deserialize<StockEvent>(line, _line) is { Changes: not null, Who: not null, What: not null } made ? made : null;
        }
        catch (JsonException)
        {
            return null;
        }
    }
}
