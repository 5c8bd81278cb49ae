using System.Globalization;
using System.Text;
using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Changes;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Export;

/// <summary>Everything about a run that has ended, as one archive that needs nothing else: job, drawer, result, builds, report.</summary>
public sealed class RunArchive(IRunStore store, Host.WorkerSettings settings)
{
    /// <summary>The bytes of the archive, a ZIP file; the same for the same run and program version.</summary>
    /// <param name="run">A run that has ended.</param>
    /// <exception cref="InvalidDataException">The store holds what this program cannot read.</exception>
    public byte[] Pack(RunRecord run)
    {
        string text = store.Job(run.Id) ?? throw new InvalidDataException("the job is gone");
        IReadOnlyList<StoredBuild> builds = store.Builds(run.Id);
        (string job, string inventory) = JobEdit.Apart(text);
        List<(string Path, string Text)> files = [(RunFolder.JobName, job), (RunFolder.InventoryName, inventory)];
        if (run.Result is { } result)
        {
            files.Add(("report.txt", Report(text, result, builds)));
            files.Add((RunFolder.ResultName, result));
        }

        files.AddRange(builds.Select(build => (ResultFile.BuildPath(build.Rank), build.Json)));
        return ZipText.Pack(files.Prepend(("README.txt", About(run, builds.Count))).Select(file => ($"run-{run.Id}/{file.Item1}", file.Item2)));
    }

    private string Report(string job, string result, IReadOnlyList<StoredBuild> builds)
    {
        JobDocument document = Good(JobFile.ReadPosted(Encoding.UTF8.GetBytes(job), settings.InventoryRoot));
        BuildEvaluation evaluation = new(document.Problem);
        RankedBuild[] ranked = [.. builds.Select(build =>
        {
            BuildDocument file = Good(BuildInJob.Read(Encoding.UTF8.GetBytes(build.Json), ResultFile.BuildPath(build.Rank), document)).Build;
            return evaluation.Judge(file.Earpiece, file.RelaxedCost ?? double.NaN) with { Rank = build.Rank, Advice = file.Advice };
        })];
        return string.Join('\n', Text.Report.Lines(ResultFileReader.Read(result, ranked), document.Problem, Text.Report.Width).Append(""));
    }

    private static string About(RunRecord run, int builds)
    {
        List<string> lines =
        [
            run.Name,
            "",
            $"run        {run.Id}",
            $"state      {RunStateText.Of(run.State)}{(run.Reason is { } reason && reason != RunStateText.Of(run.State) ? $" ({reason})" : "")}",
            .. run.Failure is { } failure ? Text.Report.Wrap("           " + failure, Text.Report.Width) : [],
            $"handed in  {Time(run.Created)}",
            $"begun      {Time(run.Started)}",
            $"ended      {Time(run.Ended)}",
            string.Create(CultureInfo.InvariantCulture, $"seed       {run.Seed}"),
            $"job        {run.JobHash}",
            $"inventory  {run.InventoryHash}",
            $"searched   by version {run.ProgramVersion}",
            $"written    by version {BuildFile.ProgramVersion}",
            "",
            "job.json        the job; solve and check read it as it lies here, and reproduce finds its builds again",
            "inventory.json  the drawer as it was when the job was handed in",
        ];
        if (run.Result is not null)
        {
            lines.Add("report.txt      the ranked table and the best build in full");
            lines.Add("result.json     what was found, how, and why the search ended");
        }

        if (builds > 0)
        {
            lines.Add($"builds/         {builds} builds with figures and complex responses, best first");
        }

        lines.AddRange(["", .. Text.Report.Wrap(BuildFile.Caution, Text.Report.Width), .. Text.Report.Wrap(Text.Report.Model, Text.Report.Width), ""]);
        return string.Join('\n', lines);
    }

    private static string Time(DateTimeOffset? at) => at?.UtcDateTime.ToString("yyyy-MM-dd HH:mm:ss 'UTC'", CultureInfo.InvariantCulture) ?? "–";

    private static T Good<T>(Reading<T> reading)
        where T : class =>
        reading.IsGood ? reading.Value : throw new InvalidDataException("the store holds what can no longer be read: " + string.Join("; ", reading.Faults.Select(fault => fault.Message)));
}
