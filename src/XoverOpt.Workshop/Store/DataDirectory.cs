namespace XoverOpt.Workshop.Store;

/// <summary>
/// The folder of an embedded store, held by one process at a time through an open lock file. The kernel lets go of it when the
/// process ends, however it ends.
/// </summary>
public sealed class DataDirectory : IDisposable
{
    private readonly FileStream _lock;

    private DataDirectory(string path, FileStream lockFile)
    {
        Path = path;
        _lock = lockFile;
    }

    /// <summary>The folder.</summary>
    public string Path { get; }

    /// <summary>Makes the folder if it is missing and takes hold of it.</summary>
    /// <exception cref="StoreException">Another process holds it, or it cannot be written.</exception>
    public static DataDirectory Open(string path)
    {
        try
        {
            string full = Directory.CreateDirectory(path).FullName;
            string lockPath = System.IO.Path.Combine(full, "lock");
            try
            {
                return new DataDirectory(full, new FileStream(lockPath, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None));
            }
            catch (IOException held) when (IsSharingViolation(held))
            {
                throw new StoreException(
                    $"The store folder '{path}' is held by another worker: stop that one, or give this one a folder of its own with --store.", held);
            }
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw new StoreException($"The store folder '{path}' cannot be used: {failure.Message}", failure);
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _lock.Dispose();

    // The runtime hands on the system's own code: ERROR_SHARING_VIOLATION on Windows, elsewhere the EWOULDBLOCK of flock(2), which is
    // 35 on the BSD line and 11 on Linux.
    internal static bool IsSharingViolation(IOException failure) => failure.HResult == (
        OperatingSystem.IsWindows() ? unchecked((int)0x80070020)
        : OperatingSystem.IsMacOS() || OperatingSystem.IsFreeBSD() ? 35
        : 11);
}
