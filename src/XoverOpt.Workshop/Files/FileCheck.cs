using System.Text.Json;

namespace XoverOpt.Workshop;

/// <summary>Checks any file of the workshop by the format it names.</summary>
public static class FileCheck
{
    private const string Job = "job/1";

    /// <summary>The formats that can be checked.</summary>
    public static IReadOnlyList<string> Formats { get; } = [Job, .. InventoryItems.Formats];

    /// <summary>Checks a file, or an inventory folder.</summary>
    /// <returns>Every fault; none when the file is good.</returns>
    public static IReadOnlyList<Fault> Check(string path)
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
            _ => InventoryFile.Read(path).Faults,
        };
    }
}
