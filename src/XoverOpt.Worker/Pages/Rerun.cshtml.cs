using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Queue;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>Runs a job again from the builds it found.</summary>
internal sealed class RerunModel(IRunStore store, JobRerun rerun, JobIntake intake) : PageModel
{
    /// <summary>The run it starts from.</summary>
    public RunRecord Run { get; private set; } = null!;

    /// <summary>now or before: which drawer.</summary>
    public string Drawer { get; private set; } = "now";

    /// <summary>What is to be changed in the job, a merge patch.</summary>
    public string Patch { get; private set; } = "";

    /// <summary>Evaluations; empty for as many as before.</summary>
    public string Evaluations { get; private set; } = "";

    /// <summary>What is wrong with the patch.</summary>
    public IReadOnlyList<PlacedFault> Faults { get; private set; } = [];

    public IActionResult OnGet(string id) => Find(id) ? Page() : this.NoRun(id);

    public IActionResult OnPost(string id, string? drawer, string? patch, string? evaluations)
    {
        if (!Find(id))
        {
            return this.NoRun(id);
        }

        (Drawer, Patch, Evaluations) = (drawer ?? Drawer, patch ?? "", evaluations?.Trim() ?? "");
        JsonObject request = [];
        if (Drawer == JobRerun.Before)
        {
            request["inventory"] = JobRerun.Before;
        }

        if (Evaluations.Length > 0)
        {
            request["evaluations"] = long.TryParse(Evaluations, NumberStyles.None, CultureInfo.InvariantCulture, out long number) ? number : Evaluations;
        }

        try
        {
            if (Patch.Trim().Length > 0)
            {
                request["patch"] = JsonNode.Parse(Patch, documentOptions: new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true });
            }
        }
        catch (JsonException failure)
        {
            return Refused([new($"line {failure.LineNumber + 1}", "text that is not JSON", "an object with what is to change, or nothing", null)]);
        }

        Intake taken = rerun.Take(id, Encoding.UTF8.GetBytes(request.ToJsonString(ApiJson.Options)), null, intake);
        return taken.Submission is { } submission ? Redirect($"/runs/{submission.RunId}") : Refused([.. taken.Faults.Select(PlacedFault.Of)]);
    }

    private PageResult Refused(IReadOnlyList<PlacedFault> faults)
    {
        Faults = faults;
        Response.StatusCode = StatusCodes.Status400BadRequest;
        return Page();
    }

    private bool Find(string id)
    {
        Run = store.Find(id)!;
        return Run is not null;
    }
}
