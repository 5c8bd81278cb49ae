using System.Text.Json;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Workshop;

/// <summary>Checks any file of the workshop by the format it names.</summary>
public static class FileCheck
{
    private const string Job = "job/1";
    private const string Build = "build/1";

    /// <summary>The formats that can be checked.</summary>
    public static IReadOnlyList<string> Formats { get; } = [Job, Build, FitFile.Format, StockBook.Format, BenchPlanFile.Format, .. InventoryItems.Formats];

    /// <summary>Checks a file, or an inventory folder.</summary>
    /// <param name="path">The file or folder.</param>
    /// <param name="inventory">The drawer that builds refer to: a file or folder of stock.</param>
    /// <returns>Every fault; none when the file is good.</returns>
    public static IReadOnlyList<Fault> Check(string path, string inventory)
    {
        if (Directory.Exists(path))
        {
            return InventoryFile.Read(path).Faults;
        }

        FaultList faults = new();
        if (JsonSource.Open(path, faults) is not { } top)
        {
            return faults.Items;
        }

        // Only inventories may be a list; their items say what they are one by one.
        if (top.Element.ValueKind == JsonValueKind.Array)
        {
            return InventoryFile.Read(path).Faults;
        }

        string? format = top.AsObject("an object, or a list of stock items")?.Format(Formats);
        return format switch
        {
            null => faults.Items,
            Job => JobFile.Read(path).Faults,
            Build => CheckBuild(path, inventory),
            FitFile.Format => FitFile.Read(path).Faults,
            StockBook.Format => StockBookFile.Read(path).Faults,
            BenchPlanFile.Format => BenchPlanFile.Read(path).Faults,
            _ => InventoryFile.Read(path).Faults,
        };
    }

    private static IReadOnlyList<Fault> CheckBuild(string path, string inventory)
    {
        Reading<Inventory> drawer = InventoryFile.Read(inventory);
        return drawer.IsGood ? BuildFile.Read(File.ReadAllBytes(path), path, drawer.Value).Faults : drawer.Faults;
    }
}
