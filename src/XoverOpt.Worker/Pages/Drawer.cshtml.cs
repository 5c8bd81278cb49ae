using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Search;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Worker.Pages;

/// <summary>What is in the drawer, and what of it is set aside.</summary>
internal sealed class DrawerModel(WorkerSettings settings) : PageModel
{
    /// <summary>The parts, by kind.</summary>
    public IReadOnlyList<IGrouping<PartKind, StockPart>> Parts { get; private set; } = [];

    /// <summary>What is set aside, by part.</summary>
    public IReadOnlyDictionary<string, decimal> Reserved { get; private set; } = new Dictionary<string, decimal>();

    /// <summary>The reservations, oldest first.</summary>
    public IReadOnlyList<Reservation> Reservations { get; private set; } = [];

    /// <summary>Receivers by part number, for their tags.</summary>
    public IReadOnlyDictionary<string, IReadOnlyList<string>> Tags { get; private set; } = new Dictionary<string, IReadOnlyList<string>>();

    /// <summary>Hash of the drawer, as results name it.</summary>
    public string Hash { get; private set; } = "";

    /// <summary>What is wrong with the drawer.</summary>
    public IReadOnlyList<PlacedFault> Faults { get; private set; } = [];

    public void OnGet()
    {
        Reading<Inventory> drawer = InventoryFile.Read(settings.InventoryRoot);
        if (!drawer.IsGood)
        {
            Faults = [.. drawer.Faults.Select(PlacedFault.Of)];
            Response.StatusCode = StatusCodes.Status503ServiceUnavailable;
            return;
        }

        Parts = [.. StockPart.Of(drawer.Value).GroupBy(part => part.Kind)];
        Reservations = drawer.Value.Reservations;
        Reserved = Reservation.Sum(Reservations);
        Tags = drawer.Value.Receivers.ToDictionary(receiver => receiver.Receiver.PartNumber, receiver => receiver.Tags);
        Hash = drawer.Value.Hash;
    }
}
