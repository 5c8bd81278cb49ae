namespace XoverOpt.Workshop.Store.Sql;

/// <summary>The API keys, in a database.</summary>
internal sealed class SqlKeyStore(Database database) : IKeyStore
{
    /// <inheritdoc/>
    public IReadOnlyList<ApiKey> Keys() =>
        [.. database.Many<KeyRow>(
            """
            select name as Name, scope as Scope, salt as Salt, hash as Hash, created_at as CreatedAt, revoked_at as RevokedAt, used_at as UsedAt
            from api_keys order by created_at, name
            """)
            .Select(row => new ApiKey(
                row.Name, row.Scope, row.Salt, row.Hash, StoreTime.Of(row.CreatedAt), StoreTime.Of(row.RevokedAt), StoreTime.Of(row.UsedAt)))];

    /// <inheritdoc/>
    public bool AddKey(ApiKey key) => database.Changes(
        """
        insert into api_keys (name, scope, salt, hash, created_at) values (@Name, @Scope, @Salt, @Hash, @created)
        on conflict (name) do nothing
        """,
        new { key.Name, key.Scope, key.Salt, key.Hash, created = StoreTime.Of(key.Created) });

    /// <inheritdoc/>
    public bool RevokeKey(string name, DateTimeOffset at) =>
        database.Changes("update api_keys set revoked_at = @at where name = @name and revoked_at is null", new { name, at = StoreTime.Of(at) });

    /// <inheritdoc/>
    public void NoteUse(string name, DateTimeOffset at) =>
        database.Changes("update api_keys set used_at = @at where name = @name", new { name, at = StoreTime.Of(at) });

    private sealed class KeyRow
    {
        public string Name { get; init; } = "";

        public string Scope { get; init; } = "";

        public byte[] Salt { get; init; } = [];

        public byte[] Hash { get; init; } = [];

        public long CreatedAt { get; init; }

        public long? RevokedAt { get; init; }

        public long? UsedAt { get; init; }
    }
}
