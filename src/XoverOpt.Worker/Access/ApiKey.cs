namespace XoverOpt.Worker.Access;

/// <summary>An API key as it is kept: never the secret itself.</summary>
/// <param name="Name">Whose it is; unique.</param>
/// <param name="Scope">read, submit or admin.</param>
/// <param name="Salt">The salt of the hash.</param>
/// <param name="Hash">The hash of the secret.</param>
/// <param name="Created">When it was made.</param>
/// <param name="Revoked">When it was revoked; null while it holds.</param>
public sealed record ApiKey(string Name, string Scope, byte[] Salt, byte[] Hash, DateTimeOffset Created, DateTimeOffset? Revoked);

/// <summary>Where keys are kept.</summary>
public interface IKeyStore
{
    /// <summary>Every key, revoked ones included, oldest first.</summary>
    IReadOnlyList<ApiKey> Keys();

    /// <summary>Keeps a key. False if there is one of that name.</summary>
    bool AddKey(ApiKey key);

    /// <summary>Revokes a key. False if there is none of that name that holds.</summary>
    bool RevokeKey(string name, DateTimeOffset at);
}
