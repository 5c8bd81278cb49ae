using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Commands;

/// <summary>The folder a search writes to: builds/NN.json, result.json, job.json, report.txt.</summary>
internal sealed partial class ResultFolder
{
    /// <summary>Name of the file that says what was found.</summary>
    public const string ResultName = "result.json";

    /// <summary>Name of the file with the job, its drawer inside.</summary>
    public const string JobName = "job.json";

    private ResultFolder(string path) => Path = path;

    /// <summary>Where it is, as it was named.</summary>
    public string Path { get; }

    private string Builds => System.IO.Path.Combine(Path, "builds");

    /// <summary>The folder for a job without one of its own: out/ and the name of the job file without its ending.</summary>
    public static string DefaultPath(string jobFile)
    {
        string name = NotInFileNames().Replace(jobFile.Trim(), "-").Trim('.', '-', ' ');
        return System.IO.Path.Combine("out", name.Length == 0 ? "job" : name[..Math.Min(name.Length, 80)]);
    }

    /// <summary>Makes it if it is missing.</summary>
    /// <exception cref="IOException">It cannot be made.</exception>
    /// <exception cref="UnauthorizedAccessException">It cannot be written.</exception>
    public static ResultFolder Make(string path)
    {
        ResultFolder folder = new(path);
        Directory.CreateDirectory(folder.Builds);
        string probe = System.IO.Path.Combine(path, ".probe");
        File.WriteAllText(probe, "");
        File.Delete(probe);
        return folder;
    }

    /// <summary>Writes a result in place of the last one.</summary>
    /// <param name="result">What was found.</param>
    /// <param name="problem">The job as it was run.</param>
    /// <param name="job">The job with its drawer inside.</param>
    public void Write(SearchResult result, Problem problem, string job)
    {
        foreach (string old in Directory.EnumerateFiles(Builds).Where(file => BuildName().IsMatch(System.IO.Path.GetFileName(file))).ToList())
        {
            File.Delete(old);
        }

        foreach (StoredBuild build in FoundBuilds.Write(result, problem))
        {
            Put(System.IO.Path.Combine(Builds, build.Rank.ToString("00", CultureInfo.InvariantCulture) + ".json"), build.Json);
        }

        Put(System.IO.Path.Combine(Path, ResultName), ResultFile.Write(result, problem, BuildFile.ProgramVersion));
        Put(System.IO.Path.Combine(Path, JobName), job);
        Put(System.IO.Path.Combine(Path, "report.txt"), string.Join('\n', Report.Lines(result, problem, Report.Width).Append("")));
    }

    /// <summary>A reader sees the old file or the new one, never half of one.</summary>
    private static void Put(string file, string text)
    {
        File.WriteAllText(file + ".new", text, new UTF8Encoding(false));
        File.Move(file + ".new", file, overwrite: true);
    }

    [GeneratedRegex("[^\\p{L}\\p{N} ._-]+")]
    private static partial Regex NotInFileNames();

    [GeneratedRegex("^\\d{2,}\\.json$")]
    private static partial Regex BuildName();
}
