namespace XoverOpt.Workshop.Store;

/// <summary>An API key as it is kept: never the secret itself.</summary>
/// <param name="Name">Whose it is; unique.</param>
/// <param name="Scope">read, submit or admin.</param>
/// <param name="Salt">The salt of the hash.</param>
/// <param name="Hash">The hash of the secret.</param>
/// <param name="Created">When it was made.</param>
/// <param name="Revoked">When it was revoked; null while it holds.</param>
/// <param name="LastUsed">When it was last used, as far as it was noted; null if never.</param>
public sealed record ApiKey(string Name, string Scope, byte[] Salt, byte[] Hash, DateTimeOffset Created, DateTimeOffset? Revoked, DateTimeOffset? LastUsed = null);
