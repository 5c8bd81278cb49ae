using System.CommandLine;
using System.Text;
using System.Text.Json;
using XoverOpt.Search;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Commands;

/// <summary><c>swap BUILD --job JOB --receiver PART</c>: other receivers in the place of one that is out.</summary>
internal static class SwapCommand
{
    private const string About = "Tries the nearest receivers of the job's drawer in the place of one that is out, the rest of the build optimised anew for each.";

    private const string Guide =
        """
        Receivers without stock are passed over; where the job's limits.stockOnly holds, so are those that do not serve its sets.

        Examples:
          xoveropt swap out/stage/builds/01.json --job jobs/stage.json --receiver OS-L2
          xoveropt swap out/stage/builds/01.json --job jobs/stage.json --receiver OS-L2 --nearest 10 --out out/swaps

        Exit codes: 0 done, whether or not a swap keeps the limits; 1 the build, the job or an option is wrong; 130 stopped.
        """;

    private static readonly JsonSerializerOptions Indented = new(ApiJson.Options) { WriteIndented = true };

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> build = new("BUILD") { Description = "The build file." };
        Option<string> job = new("--job") { Description = "The job it is judged by; its inventory is the drawer.", HelpName = "JOB", Required = true };
        Option<string> receiver = new("--receiver") { Description = "Part number of the receiver that is out.", HelpName = "PART", Required = true };
        Option<int> nearest = new("--nearest") { Description = "How many of the nearest to try.", HelpName = "N", DefaultValueFactory = _ => SwapRun.UsualNearest };
        Option<string?> folder = new("--out") { Description = "Write each build as a build file here.", HelpName = "DIR" };
        Option<bool> json = new("--json") { Description = "Print JSON." };
        nearest.Allow(count => count is >= 1 and <= SwapRun.Most, $"1 to {SwapRun.Most}");
        GuidedCommand command = new("swap", About, Guide) { build, job, receiver, nearest, folder, json };
        command.SetAction((parsed, end) => Task.Run(
            () => Run(
                parsed.GetRequiredValue(build), parsed.GetRequiredValue(job), parsed.GetRequiredValue(receiver), parsed.GetValue(nearest), parsed.GetValue(folder), parsed.GetValue(json), end),
            CancellationToken.None));
        return command;
    }

    private static int Run(string buildPath, string jobPath, string receiver, int nearest, string? folder, bool json, CancellationToken end)
    {
        Reading<BuildInJob> reading = BuildInJob.Read(buildPath, jobPath);
        Reading<ReceiverSwaps> question = reading.IsGood ? SwapQuestion.Of(reading.Value, receiver, "--receiver", "", reading.Value.Job.Inventory) : new(null, reading.Faults);
        if (!question.IsGood)
        {
            return CommandLine.Refuse(question.Faults);
        }

        IReadOnlyList<TimedSwap> tried;
        try
        {
            tried = SwapRun.Of(question.Value, nearest, Environment.ProcessorCount, end);
        }
        catch (OperationCanceledException)
        {
            return ExitCode.Stopped;
        }

        if (folder is not null)
        {
            Directory.CreateDirectory(folder);
            foreach (TimedSwap swap in tried)
            {
                File.WriteAllText(Path.Combine(folder, SwapQuestion.FileName(swap)), SwapQuestion.Write(swap), new UTF8Encoding(false));
            }
        }

        Console.OutputEncoding = Encoding.UTF8;
        IEnumerable<string> text = SwapText.Lines(question.Value, receiver, tried).Concat(
            SwapsView.About.Append(BuildFile.Caution).Append(Report.Model).SelectMany(line => Report.Wrap(line, Report.Width)));
        foreach (string line in json ? [JsonSerializer.Serialize(SwapsView.Of(question.Value, receiver, tried), Indented)] : text)
        {
            Console.WriteLine(line);
        }

        return ExitCode.Done;
    }
}
