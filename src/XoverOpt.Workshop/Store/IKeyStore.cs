namespace XoverOpt.Workshop.Store;

/// <summary>Where API keys are kept. Safe from many threads.</summary>
public interface IKeyStore
{
    /// <summary>Every key, revoked ones included, oldest first.</summary>
    IReadOnlyList<ApiKey> Keys();

    /// <summary>Keeps a key. False if there is one of that name, revoked or not.</summary>
    bool AddKey(ApiKey key);

    /// <summary>Revokes a key. False if there is none of that name that holds.</summary>
    bool RevokeKey(string name, DateTimeOffset at);

    /// <summary>Notes that a key was used. One write for each call: the caller sees to it that they are few.</summary>
    void NoteUse(string name, DateTimeOffset at);
}
