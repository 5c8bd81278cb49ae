using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Queue;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>Stops a run.</summary>
internal sealed class StopModel(IRunStore store, Bell bell) : PageModel
{
    /// <summary>The run.</summary>
    public RunRecord Run { get; private set; } = null!;

    public IActionResult OnGet(string id) => Find(id) ? Page() : this.NoRun(id);

    public IActionResult OnPost(string id)
    {
        if (!Find(id))
        {
            return this.NoRun(id);
        }

        if (store.AskToStop(id))
        {
            bell.Ring(id);
        }

        return Redirect($"/runs/{id}");
    }

    private bool Find(string id)
    {
        Run = store.Find(id)!;
        return Run is not null;
    }
}
