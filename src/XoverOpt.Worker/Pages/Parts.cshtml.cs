using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Analyses;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>What a build needs for so many sets, what is there, what is to be ordered.</summary>
internal sealed class PartsModel(IRunStore store, StoredBuilds builds, WorkerSettings settings, TimeProvider clock) : PageModel
{
    /// <summary>The build.</summary>
    public ChosenBuild Chosen { get; private set; } = null!;

    /// <summary>What was asked, as given.</summary>
    public IReadOnlyDictionary<string, string> Given { get; private set; } = new Dictionary<string, string>();

    /// <summary>What is wrong with the question, by its field.</summary>
    public ILookup<string, FaultView> Faults { get; private set; } = Array.Empty<FaultView>().ToLookup(_ => "");

    /// <summary>What is wrong with the drawer.</summary>
    public IReadOnlyList<PlacedFault> DrawerFaults { get; private set; } = [];

    /// <summary>The answer; null before.</summary>
    public PartsView? View { get; private set; }

    /// <summary>The same as a sheet.</summary>
    public string Sheet { get; private set; } = "";

    public void OnGet(string? run, string? rank)
    {
        Chosen = ChosenBuild.Of(store, builds, run, rank);
        Given = PartsQuestion.Names.ToDictionary(name => name, name => Request.Query[name].ToString().Trim());
        List<FaultView> faults = [];
        QueryCollection filled = new(Given.Where(pair => pair.Value.Length > 0).ToDictionary(pair => pair.Key, pair => new Microsoft.Extensions.Primitives.StringValues(pair.Value)));
        PartsQuestion question = PartsQuestion.Read(filled, faults);
        Faults = faults.ToLookup(fault => fault.Pointer);
        if (faults.Count > 0 || Chosen.Build is not { } build)
        {
            Response.StatusCode = faults.Count > 0 || Chosen.Fault is not null ? StatusCodes.Status400BadRequest : StatusCodes.Status200OK;
            return;
        }

        Reading<Inventory> drawer = InventoryFile.Read(settings.InventoryRoot);
        DrawerFaults = [.. drawer.Faults.Select(PlacedFault.Of)];
        if (drawer.IsGood)
        {
            View = PartsView.Of(PartsView.Label(build.Build.Rank, build.Job.Problem.Name), build.Build.Earpiece, drawer.Value, question.Order(build.Job.Problem.Limits, clock));
            Sheet = $"/api/jobs/{Chosen.RunId}/builds/{Chosen.Rank}/parts?{question.ToQuery()}&format=csv";
        }
    }
}
