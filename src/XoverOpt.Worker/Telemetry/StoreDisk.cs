using XoverOpt.Worker.Host;

namespace XoverOpt.Worker.Telemetry;

/// <summary>The disk of an embedded store.</summary>
internal sealed record StoreDisk(DriveInfo Drive)
{
    /// <summary>Bytes free for this user.</summary>
    public long FreeBytes => Drive.AvailableFreeSpace;

    /// <summary>The disk; null for a store that is not a folder here.</summary>
    public static StoreDisk? Of(WorkerSettings settings) =>
        Directory.Exists(settings.StorePath) ? new StoreDisk(new DriveInfo(Path.GetFullPath(settings.StorePath))) : null;
}
