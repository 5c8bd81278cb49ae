using System.CommandLine;
using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary><c>submit JOB</c>: hands a job to a running worker.</summary>
internal static class SubmitCommand
{
    private const string About = "Hands a job to a running worker, with its inventory and target inside, and prints the id of the run.";

    private const string Guide =
        """
        Paths in the job file start from its own folder, as for solve; the worker needs none of those files.
        The id is alone on standard output, so that a script can keep it.

        Examples:
          xoveropt submit jobs/stage.json
          xoveropt submit jobs/stage.json --watch
          XOVEROPT_KEY=… xoveropt submit jobs/stage.json --url https://bench.example:5080

        Exit codes: 0 kept (with --watch: done); 1 the job or the key is wrong; 2 no worker answers (with --watch: failed); 130 stopped.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> job = new("JOB") { Description = "The job file." };
        Option<bool> watch = new("--watch") { Description = "Shows how it goes until it has ended; Ctrl-C leaves the run going." };
        return WorkerLink.Command(new GuidedCommand("submit", About, Guide) { job, watch }, (parsed, link, end) =>
            Run(parsed.GetRequiredValue(job), parsed.GetValue(watch), link, end));
    }

    private static async Task<int> Run(string path, bool watch, WorkerLink link, CancellationToken end)
    {
        Reading<JobDocument> reading = JobFile.Read(path);
        if (!reading.IsGood)
        {
            return CommandLine.Refuse(reading.Faults);
        }

        // The mark makes sending it again, where the answer was lost, the same run; handing the file in anew is a new one.
        byte[] body = Encoding.UTF8.GetBytes(reading.Value.SelfContainedJson);
        string mark = Guid.NewGuid().ToString();
        for (int left = 2; ; left--)
        {
            try
            {
                JsonObject run = await link.Ask(HttpMethod.Post, "/api/jobs", end, body, mark).ConfigureAwait(false);
                string id = (string)run["id"]!;
                Console.WriteLine(id);
                return watch ? await WatchCommand.Follow(id, link, end).ConfigureAwait(false) : ExitCode.Done;
            }
            catch (WorkerAnswerException answer) when (answer.Passing && left > 0)
            {
                await Task.Delay(TimeSpan.FromSeconds(0.5), end).ConfigureAwait(false);
            }
        }
    }
}
