using System.Text.Json;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Access;

/// <summary>
/// Keys in a file of their own beside an embedded store, readable by its user only. The store itself is held by the running worker; the
/// file can be changed next to it, and the worker sees it within a second.
/// </summary>
public sealed class KeyFile(string folder) : IKeyStore
{
    private static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web) { WriteIndented = true };

    private string FilePath => Path.Combine(folder, "keys.json");

    /// <inheritdoc/>
    public IReadOnlyList<ApiKey> Keys()
    {
        try
        {
            return File.Exists(FilePath) ? JsonSerializer.Deserialize<ApiKey[]>(File.ReadAllBytes(FilePath), Json) ?? [] : [];
        }
        catch (Exception failure) when (failure is JsonException or UnauthorizedAccessException)
        {
            throw new StoreException($"The keys in '{FilePath}' cannot be read: {failure.Message}", failure);
        }
    }

    /// <inheritdoc/>
    public bool AddKey(ApiKey key) => Change(keys => keys.Any(other => other.Name == key.Name) ? null : [.. keys, key]);

    /// <inheritdoc/>
    public bool RevokeKey(string name, DateTimeOffset at) => Change(keys => keys.Any(key => key.Name == name && key.Revoked is null)
        ? [.. keys.Select(key => key.Name == name && key.Revoked is null ? key with { Revoked = at } : key)]
        : null);

    // One at a time by an open lock file; readers see the old list or the new one, never half of one.
    private bool Change(Func<IReadOnlyList<ApiKey>, ApiKey[]?> change)
    {
        Directory.CreateDirectory(folder);
        using FileStream held = Hold();
        if (change(Keys()) is not { } changed)
        {
            return false;
        }

        string fresh = FilePath + ".new";
        FileStreamOptions options = new() { Mode = FileMode.Create, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows())
        {
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        }

        File.Delete(fresh);
        using (FileStream file = new(fresh, options))
        {
            JsonSerializer.Serialize(file, changed, Json);
            file.Flush(flushToDisk: true);
        }

        File.Move(fresh, FilePath, overwrite: true);
        return true;
    }

    private FileStream Hold()
    {
        for (int tries = 0; ; tries++)
        {
            try
            {
                return new FileStream(Path.Combine(folder, "keys.lock"), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
            }
            catch (IOException) when (tries < 100)
            {
                Thread.Sleep(50);
            }
        }
    }
}
