using System.Globalization;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>Where a part is used, and what goes if it goes.</summary>
internal sealed class PartModel(IPartUses uses, WorkerSettings settings) : PageModel
{
    private const int PageSize = 50;

    /// <summary>The builds that use it.</summary>
    public PartUsesPage Uses { get; private set; } = null!;

    /// <summary>What jobs lose without it.</summary>
    public PartWithoutPage Without { get; private set; } = null!;

    /// <summary>Address of the next page of builds; null on the last.</summary>
    public string? Next { get; private set; }

    public IActionResult OnGet(string part, string? after)
    {
        PartUseAnswers answers = new(uses, () => InventoryFile.Read(settings.InventoryRoot).Value);
        if (answers.Name(part.Replace("%2F", "/", StringComparison.OrdinalIgnoreCase), out Fault? fault) is not { } name)
        {
            return this.NotThere($"No part is called {fault!.Found}. {fault.Hint}");
        }

        string[] place = after?.Split(':') ?? [];
        BuildPlace? from = place is [{ } run, { } rank] && int.TryParse(rank, NumberStyles.None, CultureInfo.InvariantCulture, out int number) ? new(run, number) : null;
        Uses = answers.Uses(name, from, PageSize);
        Without = answers.Without(name, null, PageSize);
        Next = Uses.Next is null ? null : $"/drawer/{Uri.EscapeDataString(name)}?after={Uses.Uses[^1].JobId}:{Uses.Uses[^1].Rank.ToString(CultureInfo.InvariantCulture)}";
        return Page();
    }
}
