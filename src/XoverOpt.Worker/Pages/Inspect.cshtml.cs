using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Search;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>Holds a measured unit against its build.</summary>
internal sealed class InspectModel(IRunStore store, StoredBuilds builds) : PageModel
{
    /// <summary>The build it is held against.</summary>
    public ChosenBuild Chosen { get; private set; } = null!;

    /// <summary>The measurement as text.</summary>
    public string Text { get; private set; } = "";

    /// <summary>What is wrong with the measurement.</summary>
    public IReadOnlyList<PlacedFault> Faults { get; private set; } = [];

    /// <summary>What came of it; null before.</summary>
    public UnitReport? Report { get; private set; }

    /// <summary>The measurement; null before.</summary>
    public UnitMeasurement? Unit { get; private set; }

    /// <summary>The finding in sentences.</summary>
    public IReadOnlyList<string> Words => Report is { } report ? [.. InspectionText.Words(report, Unit!)] : [];

    /// <summary>The curves to draw.</summary>
    public InspectedView? Drawn => Report is { } report ? InspectedView.Of(report.Limits, Unit!) : null;

    public void OnGet(string? run, string? rank) => Chosen = ChosenBuild.Of(store, builds, run, rank);

    public async Task<IActionResult> OnPostAsync(string? run, string? rank, string? text, IFormFile? file)
    {
        Chosen = ChosenBuild.Of(store, builds, run, rank);
        if (Chosen is { Build: null, Fault: null })
        {
            Chosen = Chosen with { Fault = "Choose the run and the build the unit was built from." };
        }

        (byte[] bytes, Text) = await SentFile.Read(text, file, HttpContext.RequestAborted);
        string name = file?.FileName is { Length: > 0 } sent ? sent : "measurement";
        Reading<MeasuredCurve> curve = MeasuredFile.Parse(bytes, name);
        Reading<UnitMeasurement> unit = curve.IsGood ? MeasuredUnit.Of(curve.Value, name) : new(null, curve.Faults);
        Faults = [.. unit.Faults.Select(PlacedFault.Of)];
        if (!unit.IsGood || Chosen.Build is not { } build)
        {
            Response.StatusCode = StatusCodes.Status400BadRequest;
            return Page();
        }

        Unit = unit.Value;
        Report = UnitInspection.Inspect(build.Build.Earpiece, build.Job.Problem, Unit, new BenchNoise());
        return Page();
    }
}

/// <summary>A unit and its limits, for a chart.</summary>
internal sealed record InspectedView(double?[] Hz, double?[] MeasuredDb, double?[] LimitHz, double?[] ExpectedDb, double?[] LowDb, double?[] HighDb)
{
    /// <summary>What is to be drawn.</summary>
    public static InspectedView Of(UnitLimits limits, UnitMeasurement unit) => new(
        CurvesView.Rounded(unit.Hz, 3),
        CurvesView.Rounded(unit.SplDb, 3),
        CurvesView.Rounded(limits.Hz, 3),
        CurvesView.Rounded(limits.ExpectedDb, 3),
        CurvesView.Rounded(limits.LowDb, 3),
        CurvesView.Rounded(limits.HighDb, 3));
}
