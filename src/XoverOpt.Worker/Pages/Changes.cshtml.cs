using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop.Changes;

namespace XoverOpt.Worker.Pages;

/// <summary>What changed from one run to another, and why.</summary>
internal sealed class ChangesModel(StoredRuns runs) : PageModel
{
    /// <summary>The changes.</summary>
    public RunChanges Changes { get; private set; } = null!;

    /// <summary>What became of the builds: heading and builds.</summary>
    public IReadOnlyList<(string Heading, IReadOnlyList<BuildChange> Builds)> Fates { get; private set; } = [];

    /// <summary>The best builds side by side.</summary>
    public IReadOnlyList<(string Name, string Before, string Now)> Best { get; private set; } = [];

    public IActionResult OnGet(string id, string? from)
    {
        if (runs.Find(id) is not { } now)
        {
            return this.NoRun(id);
        }

        if ((from ?? now.Job.Known?.Of) is not { } earlier)
        {
            return this.NotThere("Nothing says which run to compare this one with: it is no rerun. Give another with ?from= and its id.");
        }

        if (runs.Find(earlier) is not { } old)
        {
            return this.NoRun(earlier);
        }

        Changes = RunChanges.Between(old, now);
        Fates = [.. new (BuildFate Fate, string Words)[]
        {
            (BuildFate.Stayed, "kept their rank"), (BuildFate.Rose, "rose"), (BuildFate.Fell, "fell"), (BuildFate.Died, "no longer in the list"), (BuildFate.New, "new"),
        }.Select(fate => (fate.Words, (IReadOnlyList<BuildChange>)[.. Changes.Builds.Where(build => build.Fate == fate.Fate)])).Where(fate => fate.Item2.Count > 0)];
        if (Changes is { OldBest: { } one, NewBest: { } other })
        {
            Best =
            [
                ("cost", Numbers.Fixed(one.Cost, 4), Numbers.Fixed(other.Cost, 4)),
                ("limits", one.Feasible ? "kept" : "broken", other.Feasible ? "kept" : "broken"),
                ("magnitude error RMS, dB", Numbers.Fixed(one.MagnitudeRmsDb, 2), Numbers.Fixed(other.MagnitudeRmsDb, 2)),
                ("phase, largest, °", Numbers.Fixed(one.PhaseMaxDeg, 1), Numbers.Fixed(other.PhaseMaxDeg, 1)),
                ("arrivals apart, µs", Numbers.Fixed(one.ArrivalSpreadUs, 1), Numbers.Fixed(other.ArrivalSpreadUs, 1)),
                ("SPL at 100 mV and 500 Hz, dB", Numbers.Fixed(one.SplAt100mV, 1), Numbers.Fixed(other.SplAt100mV, 1)),
                ("impedance, least, Ω", Numbers.Fixed(one.ImpedanceMinOhm, 1), Numbers.Fixed(other.ImpedanceMinOhm, 1)),
                ("price of the parts of one earpiece", Numbers.Fixed((double?)one.PartsCost, 2), Numbers.Fixed((double?)other.PartsCost, 2)),
                ("receivers", Numbers.Fixed(one.Receivers, 0), Numbers.Fixed(other.Receivers, 0)),
            ];
        }

        return Page();
    }
}
