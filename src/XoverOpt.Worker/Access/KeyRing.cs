using System.Data.Common;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Access;

/// <summary>The keys of the store as of a second ago at most, so that a key made or revoked elsewhere counts while the worker runs.</summary>
public sealed class KeyRing(IKeyStore store, TimeProvider clock, ILogger<KeyRing> log)
{
    private static readonly TimeSpan FreshFor = TimeSpan.FromSeconds(1);
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

        return found;
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
                _last = new Snapshot(store.Keys(), clock.GetTimestamp());
            }
            catch (Exception failure) when (_last is not null && failure is DbException or IOException or StoreException)
            {
                // While the store is away the keys known last hold; nobody can revoke one there either.
                log.LogWarning("The keys could not be read, those known last hold: {Failure}", failure.Message);
                _last = new Snapshot(_last!.Keys, clock.GetTimestamp());
            }

            return _last.Keys;
        }
    }

    private sealed record Snapshot(IReadOnlyList<ApiKey> Keys, long At);
}
