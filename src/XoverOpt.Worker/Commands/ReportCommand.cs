using System.CommandLine;
using System.Text.Json.Nodes;
using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Changes;

namespace XoverOpt.Worker.Commands;

/// <summary><c>report FOLDER</c>: what a search found, as one page of HTML.</summary>
internal static class ReportCommand
{
    private const string About = "Writes what a search found as one page of HTML that needs nothing else: ranked table, trade-offs, the best builds drawn, how sure the result is.";

    private const string Guide =
        """
        FOLDER is one that solve wrote. Its job.json and inventory.json are the job and the drawer as they were; --job names another file with the same job.

        Examples:
          xoveropt report out/stage --out stage.html
          xoveropt report out/old --job jobs/stage.json --out old.html

        Exit codes: 0 done; 1 the folder or the job is wrong; 2 the page cannot be written.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> folder = new("FOLDER") { Description = "The folder of a result." };
        Option<string?> job = new("--job") { Description = "The job; job.json in the folder if left out.", HelpName = "JOB" };
        Option<string?> output = new("--out") { Description = "The page; standard output if left out.", HelpName = "FILE" };
        GuidedCommand command = new("report", About, Guide) { folder, job, output };
        command.SetAction(parsed => Run(parsed.GetRequiredValue(folder), parsed.GetValue(job), parsed.GetValue(output)));
        return command;
    }

    private static int Run(string folder, string? jobPath, string? output)
    {
        string resultPath = Path.Combine(folder, RunFolder.ResultName);
        jobPath ??= Path.Combine(folder, RunFolder.JobName);
        List<Fault> faults = [];
        if (!File.Exists(resultPath))
        {
            faults.Add(new(resultPath, "", "no such file", "a folder that solve wrote", "Name the folder, not a file in it."));
        }

        if (!File.Exists(jobPath))
        {
            faults.Add(new(jobPath, "", "no such file", "the job of the result", "Name it with --job JOB."));
        }

        if (faults.Count > 0)
        {
            return CommandLine.Refuse(faults);
        }

        Reading<JobDocument> job = JobFile.Read(jobPath);
        if (!job.IsGood)
        {
            return CommandLine.Refuse(job.Faults);
        }

        try
        {
            string text = File.ReadAllText(resultPath);
            JsonNode result = JsonNode.Parse(text)!;
            if ((string?)result["jobHash"] is { } hash && hash != job.Value.Problem.JobHash)
            {
                return CommandLine.Refuse([new Fault(jobPath, "", $"a job of hash {job.Value.Problem.JobHash}", $"the job the result was found for, {hash}", "Name it with --job JOB.")]);
            }

            Reading<IReadOnlyList<RankedBuild>> builds = Builds(folder, result, job.Value);
            if (!builds.IsGood)
            {
                return CommandLine.Refuse(builds.Faults);
            }

            PaperCommand.Put(HtmlReport.Html(ResultFileReader.Read(text, builds.Value), job.Value, (string?)result["robust"]?["words"]), output);
            return ExitCode.Done;
        }
        catch (Exception failure) when (failure is InvalidDataException or System.Text.Json.JsonException or InvalidOperationException)
        {
            return CommandLine.Refuse([new Fault(resultPath, "", failure.Message, "a result file of this program", "")]);
        }
    }

    private static Reading<IReadOnlyList<RankedBuild>> Builds(string folder, JsonNode result, JobDocument job)
    {
        BuildEvaluation evaluation = new(job.Problem);
        List<RankedBuild> builds = [];
        List<Fault> faults = [];
        foreach (int rank in (result["builds"] as JsonArray ?? []).Select(row => (int)row!["rank"]!))
        {
            string path = Path.Combine(folder, ResultFile.BuildPath(rank));
            FaultList unreadable = new();
            Reading<BuildInJob> build = JsonSource.ReadBytes(path, unreadable) is { } bytes ? BuildInJob.Read(bytes, path, job) : new(null, unreadable.Items);
            faults.AddRange(build.Faults);
            if (build.IsGood)
            {
                BuildDocument file = build.Value.Build;
                builds.Add(evaluation.Judge(file.Earpiece, file.RelaxedCost ?? double.NaN) with { Rank = rank, Advice = file.Advice });
            }
        }

        return new(faults.Count == 0 ? builds : null, faults);
    }
}
