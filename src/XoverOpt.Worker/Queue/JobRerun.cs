using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>
/// Makes the job of a rerun: the earlier job, or another in its place, with what the request changes, and with the builds found so far to
/// begin from. All of that is kept in the new run, so that it needs the earlier one no more.
/// </summary>
public sealed class JobRerun(IRunStore store)
{
    /// <summary>The word for the drawer that the earlier run had.</summary>
    public const string Before = "before";

    /// <summary>The worker's own drawer, as a posted job names it.</summary>
    private const string Present = "../driverlib";

    /// <summary>Takes a rerun in.</summary>
    /// <param name="runId">A run that there is.</param>
    /// <param name="request">JSON: "job" (a whole job) or "patch" (a merge patch of the earlier one, RFC 7396), "inventory" (as in a job, or "before"; the
    /// worker's present drawer where left out) and "evaluations", all optional.</param>
    /// <param name="key">Makes sending it twice one run; null for none.</param>
    /// <param name="intake">Takes the job.</param>
    public Intake Take(string runId, ReadOnlyMemory<byte> request, IdempotencyKey? key, JobIntake intake)
    {
        if (key is not null && store.Known(key) is { } known)
        {
            return new Intake(known, []);
        }

        FaultList faults = new();
        JsonObject? job;
        try
        {
            job = request.IsEmpty ? Changed(runId, null)
                : JsonSource.Parse(JobFile.PostedName, request, faults)?.AsObject("an object such as { \"patch\": { … } }") is { } reader ? Changed(runId, reader)
                : null;
        }
        catch (ArgumentException)
        {
            // Parts of a job are put together member by member, for which each must have a name of its own.
            return new Intake(null, [new Fault(JobFile.PostedName, "", "a key a second time", "each key once in each object")]);
        }

        if (job is null || faults.Count > 0)
        {
            return new Intake(null, faults.Items);
        }

        if (!job.ContainsKey("known"))
        {
            job["known"] = JobEdit.Known(runId, store.Builds(runId).Select(build => build.Json));
        }

        return intake.Take(Encoding.UTF8.GetBytes(job.ToJsonString()), key);
    }

    private JsonObject? Changed(string runId, ObjectReader? reader)
    {
        JsonCursor? whole = reader?.Optional("job"), patch = reader?.Optional("patch"), inventory = reader?.Optional("inventory");
        long? evaluations = reader?.Whole("evaluations", 1, 1L << 53);
        reader?.Finish();
        if (whole is not null && patch is not null)
        {
            patch.Refuse("either \"job\" or \"patch\"", "A patch changes the earlier job; a job takes its place.", "both");
        }

        foreach (JsonCursor? at in new[] { whole, patch })
        {
            // Members that stand there twice would be lost in silence.
            _ = at?.AsObject(at == whole ? "a whole job" : "a merge patch of the job, an object");
        }

        if (reader?.At.Faults.Count > 0)
        {
            return null;
        }

        JsonObject job = whole is not null ? JsonObject.Create(whole.Element)! : JsonNode.Parse(store.Job(runId)!)!.AsObject();
        if (whole is null)
        {
            // When it ran and what it knew then is of no use now.
            job.Remove("schedule");
            job.Remove("known");
            if (inventory is null)
            {
                job["inventory"] = Present;
            }
        }

        if (inventory is { Element: { } given } && !(given.ValueKind == JsonValueKind.String && inventory.IsWord(Before)))
        {
            job["inventory"] = JsonNode.Parse(given.GetRawText(), documentOptions: new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true });
        }
        else if (inventory is not null && whole is not null)
        {
            job["inventory"] = JsonNode.Parse(store.Job(runId)!)!["inventory"]!.DeepClone();
        }

        if (patch is not null)
        {
            job = JobEdit.Merge(job, JsonObject.Create(patch.Element))!.AsObject();
        }

        if (evaluations is { } most)
        {
            job["effort"] = JobEdit.Merge(job["effort"], new JsonObject { ["evaluations"] = most });
        }

        return job;
    }
}
