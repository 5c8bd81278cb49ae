using System.CommandLine;
using System.IO.Compression;
using System.Text.Json.Nodes;
using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Changes;
using XoverOpt.Workshop.Running;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Commands;

/// <summary><c>reproduce RUN</c>: searches again with the job and drawer that a run kept, and compares the builds.</summary>
internal static class ReproduceCommand
{
    private const string About = "Searches again with the very job and drawer a run kept, and says whether the same builds come out, byte for byte.";

    private const string Guide =
        """
        RUN is a folder that solve wrote (or an unpacked export), or the id of a run of a running worker that has ended. A run that was
        ended by time or by somebody is ended again at the same count of evaluations.

        Examples:
          xoveropt reproduce out/stage
          xoveropt reproduce 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11 --out out/again

        Exit codes: 0 the same builds; 1 no such run; 2 other builds, or they cannot be compared, or no worker answers; 130 stopped.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> run = new("RUN") { Description = "A folder, or the id of a run." };
        Option<string?> output = new("--out") { Description = "Where to write what came out; nowhere if left out.", HelpName = "DIR" };
        return WorkerLink.Command(new GuidedCommand("reproduce", About, Guide) { run, output }, async (parsed, link, end) =>
        {
            string name = parsed.GetRequiredValue(run);
            if (Path.Exists(name))
            {
                return Run(name, parsed.GetValue(output));
            }

            byte[] archive = await link.Send(HttpMethod.Get, $"/api/jobs/{Uri.EscapeDataString(name)}/export", end).ConfigureAwait(false);
            DirectoryInfo folder = Directory.CreateTempSubdirectory("xoveropt");
            try
            {
                using MemoryStream bytes = new(archive);
                await ZipFile.ExtractToDirectoryAsync(bytes, folder.FullName, end).ConfigureAwait(false);
                return Run(folder.EnumerateDirectories().Single().FullName, parsed.GetValue(output));
            }
            finally
            {
                folder.Delete(recursive: true);
            }
        });
    }

    private static int Run(string path, string? output)
    {
        Reading<KeptRun> kept = RunFolder.Read(path);
        if (!kept.IsGood)
        {
            return CommandLine.Refuse(kept.Faults);
        }

        JsonNode result = JsonNode.Parse(File.ReadAllText(Path.Combine(path, RunFolder.ResultName)))!;
        Problem problem = kept.Value.Job.Problem;
        problem = problem with
        {
            Effort = problem.Effort with
            {
                Evaluations = (long?)result["evaluationBudget"] ?? problem.Effort.Evaluations,
                Seed = (ulong?)result["seed"] ?? problem.Effort.Seed,
                EndAfter = (long?)result["endedAtEvaluations"] ?? problem.Effort.EndAfter,
            },
        };
        ResultFolder? folder = output is null ? null : ResultFolder.Make(output);
        SearchResult found = SolveCommand.Search(problem, new RunPace { Threads = Environment.ProcessorCount });
        folder?.Write(found, problem, kept.Value.Job.SelfContainedJson);
        if (found.Reason == StopReason.Stopped && problem.Effort.EndAfter is null)
        {
            return ExitCode.Stopped;
        }

        // What the versions of the program say of themselves is no part of a build.
        string[] before = [.. RunFolder.Builds(path, new FaultList()).Select(build => Unversioned(build.Text, kept.Value.ProgramVersion))];
        IReadOnlyList<StoredBuild> again = FoundBuilds.Write(found, problem);
        int same = before.Zip(again).Count(pair => pair.First == Unversioned(pair.Second.Json, BuildFile.ProgramVersion));
        bool all = same == before.Length && again.Count == before.Length;
        string versions = kept.Value.ProgramVersion == BuildFile.ProgramVersion ? "" : $" It was made by version {kept.Value.ProgramVersion}; this is {BuildFile.ProgramVersion}.";
        if (all)
        {
            Console.WriteLine(FormattableString.Invariant($"The same {same} builds, byte for byte, after {found.Evaluations} evaluations.{versions}"));
            return ExitCode.Done;
        }

        return CommandLine.Fail(FormattableString.Invariant($"{same} of {before.Length} builds are the same; {again.Count} came out.{versions}"));
    }

    private static string Unversioned(string build, string? version) => build.Replace($"\"programVersion\": {System.Text.Json.JsonSerializer.Serialize(version)}", "", StringComparison.Ordinal);
}
