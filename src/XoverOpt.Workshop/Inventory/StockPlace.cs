using XoverOpt.Workshop.Stock;

namespace XoverOpt.Workshop;

/// <summary>Where the paths of an inventory start, and whether they may leave there.</summary>
/// <param name="Folder">The folder that paths start from.</param>
/// <param name="Confined">Whether nothing outside <paramref name="Folder"/> may be reached, nor any link followed.</param>
internal sealed record StockPlace(string Folder, bool Confined)
{
    private const string ConfinedAllowed =
        "a path inside the inventory root, such as \"../driverlib\" for the root itself or \"receivers.json\" in it";

    private const string PlainAllowed = "plain files in the inventory root";

    /// <summary>The file or folder that a path names.</summary>
    /// <param name="at">Where the path stands; takes the fault.</param>
    /// <returns>The full path and the name to show for it; null after a fault.</returns>
    public (string Path, string Shown)? Resolve(JsonCursor at)
    {
        if (at.AsText(1000) is not { } written)
        {
            return null;
        }

        if (!Confined)
        {
            string joined = Path.Combine(Folder, written);
            return Exists(at, joined, written) ? (joined, written) : null;
        }

        const string Root = "../driverlib";
        string inside = written == Root ? "" : written.StartsWith(Root + "/", StringComparison.Ordinal) ? written[(Root.Length + 1)..] : written;
        string[] parts = inside.Split('/', StringSplitOptions.RemoveEmptyEntries).Where(part => part != ".").ToArray();
        if (inside.StartsWith('/') || inside.Contains('\\', StringComparison.Ordinal) || inside.Contains(':', StringComparison.Ordinal)
            || inside.Any(char.IsControl) || parts.Contains(".."))
        {
            at.Refuse(ConfinedAllowed, "Absolute paths, \"..\" and backslashes are refused here.");
            return null;
        }

        string path = Folder;
        foreach (string part in parts)
        {
            path = Path.Combine(path, part);
            if (IsLink(path))
            {
                at.Refuse(ConfinedAllowed, "Links are not followed here.", "a link");
                return null;
            }
        }

        string shown = parts.Length == 0 ? "inventory" : string.Join('/', parts);
        if (!Exists(at, path, shown))
        {
            return null;
        }

        if (!Directory.Exists(path) && IsEmptyOrNoFile(path))
        {
            at.Refuse(PlainAllowed, found: $"an empty file, a pipe or a device: {shown}");
            return null;
        }

        return (path, shown);
    }

    /// <summary>The JSON files of a folder, sorted by name; links among them are faults where they may not be followed.</summary>
    public IEnumerable<(string Path, string Shown)> FilesIn(string folder, string shown, JsonCursor at)
    {
        foreach (string file in Directory.EnumerateFiles(folder, "*.json").Order(StringComparer.Ordinal))
        {
            string name = $"{shown}/{Path.GetFileName(file)}";
            if (Path.GetFileName(file) == StockBook.FileName)
            {
                continue;
            }

            if (Confined && IsLink(file))
            {
                at.Refuse(PlainAllowed, "Links are not followed here.", $"the link {name}");
            }
            else if (Confined && IsEmptyOrNoFile(file))
            {
                at.Refuse(PlainAllowed, found: $"an empty file, a pipe or a device: {name}");
            }
            else
            {
                yield return (file, name);
            }
        }
    }

    /// <summary>The stock book of a folder; null where it has none, or none that may be read.</summary>
    public (string Path, string Shown)? BookIn(string folder, string shown, JsonCursor at)
    {
        string path = Path.Combine(folder, StockBook.FileName), name = shown.Length == 0 ? StockBook.FileName : $"{shown}/{StockBook.FileName}";
        if (!Path.Exists(path) && !IsLink(path))
        {
            return null;
        }

        if (Confined && (IsLink(path) || IsEmptyOrNoFile(path)))
        {
            at.Refuse(PlainAllowed, "Links are not followed here.", $"a link, an empty file, a pipe or a device: {name}");
            return null;
        }

        return (path, name);
    }

    private static bool IsLink(string path) => new FileInfo(path).LinkTarget is not null;

    // Pipes and devices have no length; opening one could wait for ever.
    private static bool IsEmptyOrNoFile(string path) => new FileInfo(path) is not { Exists: true, Length: > 0 };

    private bool Exists(JsonCursor at, string path, string shown)
    {
        if (Path.Exists(path))
        {
            return true;
        }

        at.Refuse(
            "a folder or file that exists",
            Confined
                ? "Paths of a posted job start inside the worker's inventory root; the whole root is \".\" or \"../driverlib\"."
                : "Paths start from the folder of the job file.",
            $"no such file or folder: {shown}");
        return false;
    }
}
