using System.Data.Common;
using Dapper;
using Microsoft.Data.Sqlite;
using XoverOpt.Workshop.Store.Sql;

namespace XoverOpt.Workshop.Store.Sqlite;

/// <summary>
/// One SQLite file. Write-ahead log, full synchronisation: what a method has acknowledged survives a power cut. Write transactions are
/// immediate and short.
/// </summary>
internal sealed class SqliteDatabase : Database
{
    private readonly TimeProvider _clock;
    private readonly DataDirectory? _directory;
    private readonly string _connectionString;

    /// <summary>Opens the file.</summary>
    /// <param name="folder">Where it lives.</param>
    /// <param name="directory">The hold on the folder, which the database closes; null to work beside its holder, in tables as they are.</param>
    /// <param name="clock">Tells the time.</param>
    /// <exception cref="StoreException">The file is not a store, or is damaged, or comes from another version.</exception>
    public SqliteDatabase(string folder, DataDirectory? directory, TimeProvider clock)
    {
        _clock = clock;
        _directory = directory;
        string file = FileIn(folder);
        _connectionString = new SqliteConnectionStringBuilder
        {
            DataSource = file,
            ForeignKeys = true,
            Mode = directory is null ? SqliteOpenMode.ReadWrite : SqliteOpenMode.ReadWriteCreate,
        }.ToString();
        try
        {
            using SqliteConnection connection = Open();
            if (directory is null)
            {
                SqliteMigrations.Check(connection);
                return;
            }

            connection.Execute("pragma journal_mode = wal");
            SqliteMigrations.Apply(connection);
        }
        catch (SqliteException failure)
        {
            throw new StoreException($"The store '{file}' cannot be opened: {failure.Message}", failure);
        }
    }

    /// <inheritdoc/>
    public override string ForUpdate => "";

    /// <summary>The file of a store's folder.</summary>
    public static string FileIn(string folder) => Path.Combine(folder, "xoveropt.db");

    /// <inheritdoc/>
    public override DbConnection Connect() => Open();

    /// <inheritdoc/>
    public override DbTransaction Begin(DbConnection connection) => ((SqliteConnection)connection).BeginTransaction(deferred: false);

    /// <inheritdoc/>
    public override void Commit(DbTransaction transaction, IReadOnlyCollection<string> topics)
    {
        transaction.Commit();
        foreach (string topic in topics)
        {
            News.Tell(topic);
        }
    }

    /// <summary>Closes the file and lets go of its folder.</summary>
    public override void Dispose()
    {
        using (var connection = new SqliteConnection(_connectionString))
        {
            SqliteConnection.ClearPool(connection);
        }

        _directory?.Dispose();
    }

    private SqliteConnection Open()
    {
        var connection = new SqliteConnection(_connectionString);
        try
        {
            connection.Open();
            connection.CreateFunction("now_ms", () => _clock.GetUtcNow().ToUnixTimeMilliseconds());
            connection.Execute("pragma busy_timeout = 30000; pragma synchronous = full");
            return connection;
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }
}
