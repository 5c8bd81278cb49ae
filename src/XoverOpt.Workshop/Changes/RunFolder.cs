using System.Globalization;
using System.Text;

namespace XoverOpt.Workshop.Changes;

/// <summary>
/// A run in a folder, as a search on the command line leaves it and as an exported archive unpacks: job.json, inventory.json, result.json and
/// builds/NN.json.
/// </summary>
public static class RunFolder
{
    /// <summary>The job of the run; it names the inventory beside it.</summary>
    public const string JobName = "job.json";

    /// <summary>The drawer as it was.</summary>
    public const string InventoryName = "inventory.json";

    /// <summary>How it ended.</summary>
    public const string ResultName = "result.json";

    private const string Whole = "a folder that solve wrote or an unpacked export: job.json, inventory.json, result.json and builds/";

    /// <summary>Reads the run; every fault at once.</summary>
    /// <param name="path">The folder, or the result.json in it.</param>
    public static Reading<KeptRun> Read(string path)
    {
        string folder = FolderOf(path);
        string job = Path.Combine(folder, JobName);
        if (!File.Exists(job))
        {
            return new(null, [new Fault(path, "", File.Exists(Path.Combine(folder, ResultName)) ? "a result without the job it answers" : "no such run", Whole,
                "An earlier version of the program may have written it: run the job again.")]);
        }

        FaultList faults = new();
        IReadOnlyList<(string, string)> builds = Builds(path, faults);
        string? result = Text(Path.Combine(folder, ResultName), faults);
        return faults.Count > 0 ? faults.End<KeptRun>(null) : KeptRun.Of(path, JobFile.Read(job), builds, result);
    }

    /// <summary>Names and texts of its build files, best first.</summary>
    /// <param name="path">The folder, or the result.json in it.</param>
    /// <param name="faults">Takes what is wrong.</param>
    public static IReadOnlyList<(string Name, string Text)> Builds(string path, FaultList faults)
    {
        string folder = Path.Combine(FolderOf(path), "builds");
        string[] files = Directory.Exists(folder)
            ? [.. Directory.EnumerateFiles(folder, "*.json").Where(file => Rank(file) is not null).OrderBy(Rank)]
            : [];
        if (files.Length == 0)
        {
            faults.Add(new Fault(path, "", "no builds", Whole));
        }

        return [.. files.Select(file => (file, Text(file, faults))).Where(file => file.Item2 is not null).Select(file => (file.file, file.Item2!))];
    }

    private static string FolderOf(string path) => Path.GetFileName(path) == ResultName ? Path.GetDirectoryName(path) ?? "" : path;

    private static int? Rank(string file) =>
        int.TryParse(Path.GetFileNameWithoutExtension(file), NumberStyles.None, CultureInfo.InvariantCulture, out int rank) ? rank : null;

    private static string? Text(string path, FaultList faults) => JsonSource.ReadBytes(path, faults) is { } bytes ? Encoding.UTF8.GetString(bytes) : null;
}
