using System.Globalization;
using System.Text.RegularExpressions;

namespace XoverOpt.Worker.Inbox;

/// <summary>Names for files of the watched folder, whatever they were called: letters, digits and a few signs, short enough for any disk.</summary>
internal static partial class InboxNames
{
    private const int MostLetters = 40;

    private static readonly string[] Provisional = [".part", ".tmp", ".new", ".crdownload"];

    /// <summary>Whether a name says that the file is nobody's yet: hidden, or what programs call a file they still write.</summary>
    public static bool IsProvisional(string name) =>
        name.StartsWith('.') || name.EndsWith('~')
        || Provisional.Any(ending => name.EndsWith(ending, StringComparison.OrdinalIgnoreCase));

    /// <summary>A name of its own for a file that is taken.</summary>
    public static string Taken(string name) => string.Create(CultureInfo.InvariantCulture, $"{Stem(name)}.{Random.Shared.Next():x8}.json");

    /// <summary>The name of an accepted file: its own and the run's id.</summary>
    /// <param name="taken">The name it was given when it was taken.</param>
    /// <param name="runId">The run.</param>
    public static string Accepted(string taken, string runId) => $"{Stem(Unique().Replace(taken, ""))}.{runId}.json";

    /// <summary>The name of the file of faults beside a refused file.</summary>
    public static string Faults(string taken) => Path.ChangeExtension(taken, ".faults.txt");

    /// <summary>A name as people know it, fit to be shown.</summary>
    public static string Shown(string name) => Stem(Unique().Replace(name, "")) + ".json";

    private static string Stem(string name)
    {
        string stem = name.EndsWith(".json", StringComparison.OrdinalIgnoreCase) ? name[..^5] : name;
        stem = Odd().Replace(stem, "-").Trim('.', '-', ' ');
        return stem.Length == 0 ? "job" : stem[..Math.Min(stem.Length, MostLetters)].TrimEnd('.', '-', ' ');
    }

    [GeneratedRegex("[^\\p{L}\\p{N} ._-]+")]
    private static partial Regex Odd();

    [GeneratedRegex("\\.[0-9a-f]{8}\\.json$")]
    private static partial Regex Unique();
}
