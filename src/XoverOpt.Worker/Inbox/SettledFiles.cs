namespace XoverOpt.Worker.Inbox;

/// <summary>Remembers how files looked, to tell how long each has kept its size and time. By our own clock: a copied file brings any time along.</summary>
internal sealed class SettledFiles(TimeProvider clock)
{
    private Dictionary<string, Look> _looks = new(StringComparer.Ordinal);
    private Dictionary<string, Look> _next = new(StringComparer.Ordinal);

    /// <summary>How long a file has looked as it does now; zero at first sight.</summary>
    /// <exception cref="FileNotFoundException">It is gone.</exception>
    public TimeSpan Since(string path)
    {
        FileInfo file = new(path);
        Look now = new(file.Length, file.LastWriteTimeUtc, clock.GetTimestamp());
        if (_looks.TryGetValue(path, out Look? before) && before with { At = now.At } == now)
        {
            now = before;
        }

        _next[path] = now;
        return clock.GetElapsedTime(now.At);
    }

    /// <summary>A file goes by another name from now on.</summary>
    public void Renamed(string from, string to)
    {
        if (_next.Remove(from, out Look? look))
        {
            _looks[to] = look;
        }
    }

    /// <summary>Ends a round: files not asked for in it are forgotten.</summary>
    public void EndRound() => (_looks, _next) = (_next, new(StringComparer.Ordinal));

    private sealed record Look(long Length, DateTime Written, long At);
}
