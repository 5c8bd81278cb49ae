using XoverOpt.Worker.Access;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Tests.Support;

/// <summary>API keys for a worker of a test.</summary>
internal static class Keys
{
    /// <summary>Makes a key in a running worker's store.</summary>
    /// <returns>Its secret.</returns>
    public static string Make(IKeyStore store, string name, Scope scope)
    {
        string secret = SecretText.New();
        byte[] salt = SecretText.NewSalt();
        Assert.True(store.AddKey(new ApiKey(name, ScopeRules.Name(scope), salt, SecretText.Hash(secret, salt), DateTimeOffset.UnixEpoch, Revoked: null)));
        return secret;
    }
}
