using System.Data.Common;
using Dapper;

namespace XoverOpt.Workshop.Store.Sql;

/// <summary>
/// A database that understands the store's SQL, which stands once for all of them. In its connections <c>now_ms()</c> is the time, in
/// milliseconds since 1970-01-01 UTC, of the one clock that all processes on the store go by.
/// </summary>
internal abstract class Database : IDisposable
{
    /// <summary>Where news of this database arrives.</summary>
    public NewsBoard News { get; } = new();

    /// <summary>What locks selected rows until the transaction ends; empty where a write transaction is alone anyway.</summary>
    public abstract string ForUpdate { get; }

    /// <summary>An open connection.</summary>
    public abstract DbConnection Connect();

    /// <summary>Begins a transaction that will write.</summary>
    public abstract DbTransaction Begin(DbConnection connection);

    /// <summary>Ends a transaction and, if that succeeds, tells the news.</summary>
    public abstract void Commit(DbTransaction transaction, IReadOnlyCollection<string> topics);

    /// <summary>Drops what is left of a run's shards, where the database keeps them.</summary>
    public virtual void DropShards(StoreWrite write, string runId)
    {
    }

    /// <summary>A write transaction, rolled back unless it is committed.</summary>
    public StoreWrite Write() => new(this);

    /// <summary>The only row; the default if there is none.</summary>
    public T? One<T>(string sql, object? values = null)
    {
        using DbConnection connection = Connect();
        return connection.QuerySingleOrDefault<T>(sql, values);
    }

    /// <summary>All rows.</summary>
    public IReadOnlyList<T> Many<T>(string sql, object? values = null)
    {
        using DbConnection connection = Connect();
        return connection.Query<T>(sql, values).AsList();
    }

    /// <summary>One statement by itself: whether it changed a row.</summary>
    public bool Changes(string sql, object values)
    {
        using DbConnection connection = Connect();
        return connection.Execute(sql, values) > 0;
    }

    /// <inheritdoc/>
    public abstract void Dispose();
}
