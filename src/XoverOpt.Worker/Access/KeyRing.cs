using System.Collections.Concurrent;
using System.Data.Common;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Access;

/// <summary>The keys of the store as of a second ago at most, so that a key made or revoked elsewhere counts while the worker runs.</summary>
public sealed class KeyRing(IKeyStore store, TimeProvider clock, ILogger<KeyRing> log)
{
    private static readonly TimeSpan FreshFor = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan HoldFor = TimeSpan.FromMinutes(5);
    private static readonly TimeSpan NoteEvery = TimeSpan.FromHours(1);
    private readonly ConcurrentDictionary<string, long> _noted = new();
    private readonly Lock _reading = new();
    private volatile Snapshot? _last;

    /// <summary>
    /// Whether requests need a key: once one was ever made. Revoking the last one closes the worker rather than opening it to all.
    /// </summary>
    public bool KeysNeeded => Now().Count > 0;

    /// <summary>The key a secret belongs to; null if there is none or it was revoked. Every key is compared, whichever fits.</summary>
    public ApiKey? Find(string secret)
    {
        ApiKey? found = null;
        foreach (ApiKey key in Now())
        {
            bool fits = SecretText.Matches(secret, key.Salt, key.Hash);
            found = fits && key.Revoked is null ? key : found;
        }

        if (found is not null)
        {
            NoteUse(found.Name);
        }

        return found;
    }

    // So that list tells which keys nobody uses any more; once an hour will do for that.
    private void NoteUse(string name)
    {
        long now = clock.GetTimestamp();
        if (!_noted.TryAdd(name, now)
            && !(_noted.TryGetValue(name, out long last) && clock.GetElapsedTime(last, now) >= NoteEvery && _noted.TryUpdate(name, now, last)))
        {
            return;
        }

        try
        {
            store.NoteUse(name, clock.GetUtcNow());
        }
        catch (Exception failure) when (failure is DbException or IOException or StoreException)
        {
            log.LogWarning("That key {Name} was used could not be noted: {Failure}", name, failure.Message);
        }
    }

    private IReadOnlyList<ApiKey> Now()
    {
        if (_last is { } last && clock.GetElapsedTime(last.At) < FreshFor)
        {
            return last.Keys;
        }

        lock (_reading)
        {
            if (_last is { } meanwhile && clock.GetElapsedTime(meanwhile.At) < FreshFor)
            {
                return meanwhile.Keys;
            }

            try
            {
                long now = clock.GetTimestamp();
                _last = new Snapshot(store.Keys(), now, now);
            }
            catch (Exception failure) when (failure is DbException or IOException or StoreException && _last is { } known && clock.GetElapsedTime(known.Read) < HoldFor)
            {
                // While the store is away for a moment the keys known last hold. Not for longer: it may be away for this process only,
                // and a key revoked meanwhile.
                log.LogWarning("The keys could not be read, those known last hold for now: {Failure}", failure.Message);
                _last = known with { At = clock.GetTimestamp() };
            }

            return _last.Keys;
        }
    }

    /// <summary>The keys, when they were looked for last, and when they were found.</summary>
    private sealed record Snapshot(IReadOnlyList<ApiKey> Keys, long At, long Read);
}
