using System.CommandLine;
using System.Text;
using System.Text.Json;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Changes;

namespace XoverOpt.Worker.Commands;

/// <summary><c>changes OLD NEW</c>: what changed from one run to another, and why.</summary>
internal static class ChangesCommand
{
    private const string About = "Tells what changed from one run to another: which builds stayed, rose, fell, went or are new, and why.";

    private const string Guide =
        """
        OLD and NEW are folders that solve wrote (or unpacked exports), or ids of runs of a running worker. A build that is in one run only
        is judged anew under the other's job and drawer, so that it can be said where it would stand.

        Examples:
          xoveropt changes out/stage out/stage2
          xoveropt changes 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11 019a7c60-93d4-7b10-8a52-6f1de2c3b4a5 --json

        Exit codes: 0 told; 1 no such run, or the key is wrong; 2 no worker answers.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> old = new("OLD") { Description = "The earlier run: a folder, or an id." };
        Argument<string> now = new("NEW") { Description = "The later run: a folder, or an id." };
        Option<bool> json = new("--json") { Description = "Print JSON, as the worker's API gives it." };
        return WorkerLink.Command(new GuidedCommand("changes", About, Guide) { old, now, json }, (parsed, link, end) => Run(
            parsed.GetRequiredValue(old), parsed.GetRequiredValue(now), parsed.GetValue(json), link, end));
    }

    private static async Task<int> Run(string old, string now, bool json, WorkerLink link, CancellationToken end)
    {
        Console.OutputEncoding = Encoding.UTF8;
        if (!Path.Exists(old) && !Path.Exists(now))
        {
            byte[] answer = await link.Send(
                HttpMethod.Get, $"/api/jobs/{Uri.EscapeDataString(now)}/changes?from={Uri.EscapeDataString(old)}", end, accept: json ? null : "text/plain").ConfigureAwait(false);
            Console.WriteLine(Encoding.UTF8.GetString(answer).TrimEnd());
            return ExitCode.Done;
        }

        Reading<KeptRun> before = RunFolder.Read(old), after = RunFolder.Read(now);
        if (!before.IsGood || !after.IsGood)
        {
            return CommandLine.Refuse([.. before.Faults, .. after.Faults]);
        }

        var changes = RunChanges.Between(before.Value, after.Value);
        foreach (string line in json ? [JsonSerializer.Serialize(changes, ApiJson.Options)] : ChangesText.Lines(changes))
        {
            Console.WriteLine(line);
        }

        return ExitCode.Done;
    }
}
