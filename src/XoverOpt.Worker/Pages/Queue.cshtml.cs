using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Api;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>The runs, newest first, in pages.</summary>
internal sealed class QueueModel(IRunStore store, IWorkerPause pause, TimeProvider clock) : PageModel
{
    private const int PageSize = 50;

    /// <summary>Only runs in this state; null for all.</summary>
    public string? State { get; private set; }

    /// <summary>The runs of this page.</summary>
    public IReadOnlyList<JobView> Runs { get; private set; } = [];

    /// <summary>Runs in each state.</summary>
    public IReadOnlyDictionary<string, int> Counts { get; private set; } = new Dictionary<string, int>();

    /// <summary>The pause; null while work goes on.</summary>
    public PauseRecord? Paused { get; private set; }

    /// <summary>Address of the page of earlier runs; null on the last.</summary>
    public string? Next { get; private set; }

    /// <summary>When this page was made: what happens later is news to it.</summary>
    public DateTimeOffset Now { get; private set; }

    public IActionResult OnGet(string? state, string? after)
    {
        RunState? wanted = state is null ? null : RunStateText.Parse(state);
        if (state is not null && wanted is null)
        {
            return this.NotThere($"There is no state '{state}'; there are {string.Join(", ", RunStateText.All)}.");
        }

        if (after is not null && store.Find(after) is null)
        {
            return this.NoRun(after);
        }

        Now = clock.GetUtcNow();
        State = state;
        IReadOnlyDictionary<RunState, int> counts = store.Count();
        Counts = RunStateText.All.ToDictionary(name => name, name => counts.GetValueOrDefault(RunStateText.Parse(name)!.Value));
        Paused = pause.Current();
        IReadOnlyList<RunRecord> runs = store.List(wanted, after, PageSize + 1);
        Next = runs.Count > PageSize ? $"/?after={runs[PageSize - 1].Id}{(state is null ? "" : "&state=" + state)}" : null;
        Runs = [.. runs.Take(PageSize).Select(JobView.Of)];
        return Page();
    }
}
