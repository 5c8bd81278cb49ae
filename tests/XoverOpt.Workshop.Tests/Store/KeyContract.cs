using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>API keys.</summary>
public abstract class KeyContract(StorePlace place) : StoreContract(place)
{
    [Fact]
    public void Keys_AddedUsedRevoked_AreKeptAsTheyWereGiven()
    {
        DateTimeOffset now = Clock.GetUtcNow();
        ApiKey desk = new("desk", "submit", [1, 2], [3, 4], now, null);

        Assert.True(Whole.Keys.AddKey(desk));
        Assert.False(Whole.Keys.AddKey(desk with { Scope = "admin", Hash = [9] }));
        Assert.True(Whole.Keys.AddKey(new ApiKey("wall", "read", [], [5], now.AddSeconds(1), null)));
        Whole.Keys.NoteUse("desk", now.AddSeconds(5));
        Assert.True(Whole.Keys.RevokeKey("wall", now.AddSeconds(9)));
        Assert.False(Whole.Keys.RevokeKey("wall", now.AddSeconds(10)));
        Assert.False(Whole.Keys.RevokeKey("none", now));

        IReadOnlyList<ApiKey> keys = Whole.Keys.Keys();
        Assert.Equal(
            [("desk", "submit", now, null, now.AddSeconds(5)), ("wall", "read", now.AddSeconds(1), now.AddSeconds(9), (DateTimeOffset?)null)],
            keys.Select(key => (key.Name, key.Scope, key.Created, key.Revoked, key.LastUsed)));
        Assert.Equal([1, 2], keys[0].Salt);
        Assert.Equal([3, 4], keys[0].Hash);
    }
}
