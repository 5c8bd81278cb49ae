using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Queue;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>Takes in a job, by form or as a file; what is wrong stands beside the field or line it is wrong in.</summary>
internal sealed class NewJobModel(JobIntake intake, IRunStore store) : PageModel
{
    private static readonly JsonSerializerOptions Readable = new(ApiJson.Options) { WriteIndented = true };

    /// <summary>Whether the job is given as a file.</summary>
    public bool AsFile { get; private set; }

    /// <summary>The fields.</summary>
    public JobForm Form { get; private set; } = JobForm.Fresh();

    /// <summary>The file's text.</summary>
    public string Text { get; private set; } = "";

    /// <summary>What is wrong, by the field it is wrong in.</summary>
    public ILookup<string, PlacedFault> ByField { get; private set; } = Array.Empty<PlacedFault>().ToLookup(_ => "");

    /// <summary>What is wrong and belongs to no field.</summary>
    public IReadOnlyList<PlacedFault> Others { get; private set; } = [];

    /// <summary>How many faults in all.</summary>
    public int FaultCount { get; private set; }

    public IActionResult OnGet(string? @as, string? from)
    {
        AsFile = @as == "file" || from is not null;
        if (from is not null)
        {
            if (store.Job(from) is not { } job)
            {
                return this.NoRun(from);
            }

            // Today's drawer, not the one of then.
            JsonObject whole = JsonNode.Parse(job)!.AsObject();
            whole["inventory"] = "../driverlib";
            Text = whole.ToJsonString(Readable);
        }

        return Page();
    }

    public IActionResult OnPost()
    {
        Form = JobForm.Of(Request.Form);
        string job = Form.Job().ToJsonString(Readable);
        if (Request.Form["act"] == "file")
        {
            // To go on with the same job as text.
            (AsFile, Text) = (true, job);
            return Page();
        }

        Intake taken = intake.Take(Encoding.UTF8.GetBytes(job), null);
        if (taken.Submission is { } submission)
        {
            return Redirect($"/runs/{submission.RunId}");
        }

        (JobField Field, int? Line)?[] places = [.. taken.Faults.Select(fault => fault.File == JobFile.PostedName ? Form.FieldAt(fault.Pointer) : null)];
        ByField = taken.Faults.Zip(places).Where(pair => pair.Second is not null)
            .ToLookup(pair => pair.Second!.Value.Field.Id, pair => PlacedFault.Of(pair.First) with { Where = pair.Second!.Value.Line is { } line ? $"line {line}" : "", Line = pair.Second.Value.Line });
        Others = [.. taken.Faults.Zip(places).Where(pair => pair.Second is null).Select(pair => PlacedFault.Of(pair.First))];
        return Refused(taken.Faults.Count);
    }

    public async Task<IActionResult> OnPostFileAsync(string? text, IFormFile? file)
    {
        AsFile = true;
        (byte[] bytes, Text) = await SentFile.Read(text, file, HttpContext.RequestAborted);
        Intake taken = intake.Take(bytes, null);
        if (taken.Submission is { } submission)
        {
            return Redirect($"/runs/{submission.RunId}");
        }

        IReadOnlyDictionary<string, int> lines = JsonLines.Of(Text);
        Others = [.. taken.Faults.Select(fault => (PlacedFault.Of(fault), Line: fault.File == JobFile.PostedName ? JsonLines.Find(lines, fault.Pointer) : null))
            .Select(pair => pair.Line is { } line ? pair.Item1 with { Where = $"line {line} {pair.Item1.Where}", Line = line } : pair.Item1)];
        return Refused(taken.Faults.Count);
    }

    private PageResult Refused(int count)
    {
        FaultCount = count;
        Response.StatusCode = StatusCodes.Status400BadRequest;
        return Page();
    }
}
