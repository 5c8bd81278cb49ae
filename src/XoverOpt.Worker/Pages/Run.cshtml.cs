using System.Text.Json;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>A run with its ranked builds; the best so far while it works.</summary>
internal sealed class RunModel(IRunStore store, TimeProvider clock) : PageModel
{
    /// <summary>The run.</summary>
    public JobView Run { get; private set; } = null!;

    /// <summary>Its builds, best first.</summary>
    public IReadOnlyList<BuildRow> Builds { get; private set; } = [];

    /// <summary>Trade-off fronts; none while it works.</summary>
    public IReadOnlyList<TradeOffPlot> Fronts { get; private set; } = [];

    /// <summary>How sure the result is, in sentences.</summary>
    public IReadOnlyList<string> Sure { get; private set; } = [];

    /// <summary>What became of the layouts, in sentences.</summary>
    public IReadOnlyList<string> Layouts { get; private set; } = [];

    /// <summary>Whether it came from another run, so that what changed can be told.</summary>
    public bool IsRerun { get; private set; }

    /// <summary>When this page was made.</summary>
    public DateTimeOffset Now { get; private set; }

    public IActionResult OnGet(string id)
    {
        Now = clock.GetUtcNow();
        if (store.Find(id) is not { } run)
        {
            return this.NoRun(id);
        }

        Run = JobView.Of(run);
        Builds = [.. store.Builds(id).Select(BuildRow.Of)];
        if (run.Result is { } text)
        {
            JsonObject result = JsonNode.Parse(text)!.AsObject();
            Fronts = [.. result["fronts"]!.AsArray().Select(front => TradeOffPlot.Of(front!, Builds)).Where(plot => plot.Points.Count > 1)];
            Sure = [.. Words(result)];
            Layouts = [.. LayoutWords(result)];
        }

        IsRerun = run.Result is not null && store.Job(id) is { } job && HasParent(job);
        return Page();
    }

    private static bool HasParent(string job)
    {
        using var document = JsonDocument.Parse(job);
        return document.RootElement.TryGetProperty("known", out JsonElement known) && known.TryGetProperty("of", out _);
    }

    private static IEnumerable<string> Words(JsonObject result)
    {
        foreach (JsonNode? words in new[] { result["robust"]?["words"], result["confidence"]?["values"]?["words"], result["confidence"]?["layouts"]?["words"] })
        {
            if ((string?)words is { } said)
            {
                yield return said;
            }
        }
    }

    private static IEnumerable<string> LayoutWords(JsonObject result)
    {
        yield return $"{Numbers.Count((double)result["layoutsTried"]!)} of {Count(result["layoutsAllowed"])} layouts tried with {Numbers.Count((double)result["evaluations"]!)} evaluations.";
        foreach ((string name, string words) in new[] { ("exclusions", "Left out before that count"), ("givenUp", "Given up on the way") })
        {
            foreach (JsonNode? one in result[name]?.AsArray() ?? [])
            {
                yield return $"{words}: {Count(one!["layouts"])} layouts, {(string?)one["reason"]}.";
            }
        }

        if ((double?)result["layoutsNotReached"] is > 0 and var missed)
        {
            yield return $"Not reached: {Numbers.Count(missed)} layouts, for want of evaluations, time or promise.";
        }
    }

    private static string Count(JsonNode? number) => (double?)number is { } value ? Numbers.Count(value) : "more than can be counted";
}
