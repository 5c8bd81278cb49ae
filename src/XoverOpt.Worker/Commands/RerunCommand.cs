using System.CommandLine;
using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary><c>rerun ID</c>: a job of a running worker again, from the builds it found.</summary>
internal static class RerunCommand
{
    private const string About = "Runs a job again on a running worker, from the builds it found, and prints the id of the new run.";

    private const string Guide =
        """
        Without more, the job is the same and the drawer is the worker's as it is now. Builds whose parts and choices are still there are
        kept or bettered; the search goes on beside them, so that new parts are found. changes then tells what became of the builds.

        Examples:
          xoveropt rerun 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11 --watch
          xoveropt rerun 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11 --evaluations 1000000     with less effort
          xoveropt rerun 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11 --job jobs/stage2.json    with another job and its drawer
          xoveropt rerun 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11 --patch louder.json       with { "limits": { "minSplAt100mV": 99 } }
          xoveropt changes 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11 NEW

        Exit codes: 0 kept (with --watch: done); 1 the request or the key is wrong; 2 no worker answers (with --watch: failed); 130 stopped.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> id = new("ID") { Description = "The id of the run to run again." };
        Option<string?> job = new("--job") { Description = "A job file in place of the run's own job; its drawer is the one it names.", HelpName = "FILE" };
        Option<string?> patch = new("--patch") { Description = "A file with a merge patch of the run's job (RFC 7396).", HelpName = "FILE" };
        Option<string?> inventory = new("--inventory") { Description = "A folder or file to take the drawer from, or the word before for the one the run had.", HelpName = "DIR" };
        Option<long?> evaluations = new("--evaluations") { Description = "About the most evaluations of an earpiece, in place of the job's.", HelpName = "N" };
        Option<bool> watch = new("--watch") { Description = "Shows how it goes until it has ended; Ctrl-C leaves the run going." };
        evaluations.Allow(count => count is null or >= 1, "1 or more");
        return WorkerLink.Command(new GuidedCommand("rerun", About, Guide) { id, job, patch, inventory, evaluations, watch }, (parsed, link, end) => Run(
            parsed.GetRequiredValue(id), parsed.GetValue(job), parsed.GetValue(patch), parsed.GetValue(inventory), parsed.GetValue(evaluations), parsed.GetValue(watch), link, end));
    }

    private static async Task<int> Run(
        string id, string? jobPath, string? patchPath, string? inventory, long? evaluations, bool watch, WorkerLink link, CancellationToken end)
    {
        List<Fault> faults = [];
        JsonObject request = [];
        if (jobPath is not null)
        {
            Reading<JobDocument> job = JobFile.Read(jobPath);
            faults.AddRange(job.Faults);
            request["job"] = job.IsGood ? JsonNode.Parse(job.Value.SelfContainedJson) : null;
        }

        if (patchPath is not null)
        {
            FaultList unreadable = new();
            request["patch"] = JsonSource.Open(patchPath, unreadable) is { } at && at.AsObject("a merge patch of the job, an object") is not null
                ? JsonObject.Create(at.Element)
                : null;
            faults.AddRange(unreadable.Items);
        }

        if (inventory is Queue.JobRerun.Before)
        {
            request["inventory"] = inventory;
        }
        else if (inventory is not null)
        {
            Reading<Inventory> drawer = InventoryFile.Read(inventory);
            faults.AddRange(drawer.Faults);
            request["inventory"] = drawer.IsGood ? JsonNode.Parse(drawer.Value.Json) : null;
        }

        if (faults.Count > 0)
        {
            return CommandLine.Refuse(faults);
        }

        if (evaluations is { } most)
        {
            request["evaluations"] = most;
        }

        JsonObject run = await link.Ask(
            HttpMethod.Post, $"/api/jobs/{Uri.EscapeDataString(id)}/rerun", end, Encoding.UTF8.GetBytes(request.ToJsonString()), Guid.NewGuid().ToString()).ConfigureAwait(false);
        string made = (string)run["id"]!;
        Console.WriteLine(made);
        return watch ? await WatchCommand.Follow(made, link, end).ConfigureAwait(false) : ExitCode.Done;
    }
}
