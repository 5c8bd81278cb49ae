using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Api;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Paperwork;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>One build: what it is made of, its figures, its curves.</summary>
internal sealed class BuildModel(IRunStore store, StoredBuilds builds) : PageModel
{
    /// <summary>The run it belongs to.</summary>
    public RunRecord Run { get; private set; } = null!;

    /// <summary>Its row.</summary>
    public BuildRow Row { get; private set; } = null!;

    /// <summary>It, with its job.</summary>
    public BuildInJob Found { get; private set; } = null!;

    /// <summary>Rank of the build before and after; null at the ends.</summary>
    public (int? Before, int? After) Neighbours { get; private set; }

    /// <summary>Figures by group: name, value, unit and remark.</summary>
    public IReadOnlyList<FigureGroup> Groups { get; private set; } = [];

    /// <summary>Drawings of curves, by their names, for a browser without script.</summary>
    public static IReadOnlyList<string> Curves { get; } = ["response", "shares", "phase", "phase-figure", "arrival", "group-delay", "summing-loss", "impedance", "peak-level"];

    /// <summary>The network, SVG; text in it is escaped where it is drawn.</summary>
    public string Schematic { get; private set; } = "";

    /// <summary>The acoustic side to scale, SVG.</summary>
    public string Assembly { get; private set; } = "";

    public IActionResult OnGet(string id, int rank)
    {
        if (store.Find(id) is not { } run)
        {
            return this.NoRun(id);
        }

        if (store.Build(id, rank) is not { } stored)
        {
            return this.NotThere(run.Open ? $"The run has no build {rank} yet." : $"The run has no build {rank}.");
        }

        Run = run;
        Row = BuildRow.Of(stored);
        Found = builds.Find(id, rank, out _)!;
        Neighbours = (rank > 1 ? rank - 1 : null, store.Build(id, rank + 1) is null ? null : rank + 1);
        Schematic = BuildDrawings.Svg("schematic", Found, 1);
        Assembly = BuildDrawings.Svg("assembly", Found, 1);
        Groups = [.. FigureGroup.Of(Row, Found)];
        return Page();
    }
}
