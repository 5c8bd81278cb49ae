using System.Globalization;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Search;
using XoverOpt.Worker.Api;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Matching;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>Sorts measured receivers into left and right.</summary>
internal sealed class PairsModel(IRunStore store, StoredBuilds builds) : PageModel
{
    /// <summary>The build they are for, if any.</summary>
    public ChosenBuild Chosen { get; private set; } = null!;

    /// <summary>The list of receivers as text.</summary>
    public string Text { get; private set; } = "";

    /// <summary>The limit as given.</summary>
    public string Limit { get; private set; } = PairView.UsualLimitDb.ToString(CultureInfo.InvariantCulture);

    /// <summary>What is wrong with the limit; null where nothing is.</summary>
    public string? LimitFault { get; private set; }

    /// <summary>What is wrong with the list.</summary>
    public IReadOnlyList<PlacedFault> Faults { get; private set; } = [];

    /// <summary>The pairs; null before.</summary>
    public PairPlan? Plan { get; private set; }

    public void OnGet(string? run, string? rank) => Chosen = ChosenBuild.Of(store, builds, run, rank);

    public async Task<IActionResult> OnPostAsync(string? run, string? rank, string? text, IFormFile? file, string? limit)
    {
        Chosen = ChosenBuild.Of(store, builds, run, rank);
        Limit = limit ?? Limit;
        bool good = double.TryParse(Limit, NumberStyles.Float, CultureInfo.InvariantCulture, out double within) && within is > 0 and <= 100;
        LimitFault = good ? null : $"found {Limit}; allowed: above 0, at most 100 dB.";
        (byte[] bytes, Text) = await SentFile.Read(text, file, HttpContext.RequestAborted);
        Reading<IReadOnlyList<MeasuredReceiver>> receivers = SerialsFile.Read(bytes, file?.FileName is { Length: > 0 } sent ? sent : "list");
        Faults = [.. receivers.Faults.Select(PlacedFault.Of)];
        if (!good || !receivers.IsGood || Chosen.Fault is not null)
        {
            Response.StatusCode = StatusCodes.Status400BadRequest;
            return Page();
        }

        Plan = Chosen.Build is { } build
            ? PairSolver.Sets(receivers.Value, MatchGroup.OfBuild(build.Build.Earpiece, build.Job.Problem), within)
            : PairSolver.Pairs(receivers.Value, within);
        return Page();
    }

    /// <summary>The serial numbers of a side.</summary>
    public static string Side(IReadOnlyList<MeasuredReceiver> side) => string.Join(" + ", side.Select(receiver => receiver.Serial));
}
