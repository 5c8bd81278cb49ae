using XoverOpt.Workshop.Store.Postgres;
using XoverOpt.Workshop.Store.Sql;
using XoverOpt.Workshop.Store.Sqlite;

namespace XoverOpt.Workshop.Store;

/// <summary>
/// An open store: one SQLite file in a folder, for one process, or a PostgreSQL database, for any number of them. What one method has
/// acknowledged is kept whatever happens next, except for shards. Safe from many threads.
/// </summary>
public sealed class WorkshopStore : IDisposable
{
    private readonly Database _database;

    private WorkshopStore(StoreAddress address, Database database, TimeProvider clock)
    {
        Address = address;
        _database = database;
        Runs = new SqlRunStore(database);
        Events = new SqlEventLog(database);
        Shards = address.Connection is not null ? new PostgresShardExchange(database) : new MemoryShardExchange(Runs, database.News, clock);
        Keys = new SqlKeyStore(database);
        PartUses = new SqlPartUses(database);
        Outbox = new SqlOutbox(database);
        Pause = new SqlWorkerPause(database);
    }

    /// <summary>Where it is.</summary>
    public StoreAddress Address { get; }

    /// <summary>The runs.</summary>
    public IRunStore Runs { get; }

    /// <summary>What happened to them.</summary>
    public IEventLog Events { get; }

    /// <summary>Parts of their evaluation.</summary>
    public IShardExchange Shards { get; }

    /// <summary>The API keys.</summary>
    public IKeyStore Keys { get; }

    /// <summary>Where parts are used.</summary>
    public IPartUses PartUses { get; }

    /// <summary>Notices of ended runs.</summary>
    public IOutbox Outbox { get; }

    /// <summary>The pause of the whole worker.</summary>
    public IWorkerPause Pause { get; }

    /// <summary>What wakes those who wait for a change.</summary>
    public INews News => _database.News;

    /// <summary>Opens a store to work on it, making it if it is missing and bringing it up to this version. In a folder, frees what a process that is gone still held.</summary>
    /// <param name="address">A folder or a connection string (<see cref="StoreAddress"/>).</param>
    /// <param name="clock">Tells the time in a folder; PostgreSQL goes by the database's own clock.</param>
    /// <exception cref="StoreException">It is held by another process, cannot be reached, is no store or damaged, or comes from a later version.</exception>
    public static WorkshopStore Open(string address, TimeProvider clock)
    {
        var where = StoreAddress.Parse(address);
        if (where.Connection is not null)
        {
            return new WorkshopStore(where, new PostgresDatabase(where), clock);
        }

        var directory = DataDirectory.Open(where.Folder!);
        try
        {
            SqliteDatabase database = new(directory.Path, directory, clock);
            new SqlRunStore(database).FreeAll();
            return new WorkshopStore(where, database, clock);
        }
        catch
        {
            directory.Dispose();
            throw;
        }
    }

    /// <summary>Opens a store beside the worker that may be using it, for a command that keeps keys or makes a backup.</summary>
    /// <exception cref="StoreException">There is none, or it cannot be reached, or it is not of this version.</exception>
    public static WorkshopStore OpenBeside(string address, TimeProvider clock)
    {
        var where = StoreAddress.Parse(address);
        if (where.Connection is not null)
        {
            return new WorkshopStore(where, new PostgresDatabase(where), clock);
        }

        return File.Exists(SqliteDatabase.FileIn(where.Folder!))
            ? new WorkshopStore(where, new SqliteDatabase(where.Folder!, null, clock), clock)
            : throw new StoreException($"There is no store in '{where.Shown}': start the worker on it first.");
    }

    /// <summary>Writes everything to a file, as of one moment, while work goes on.</summary>
    /// <param name="file">A file that does not exist yet.</param>
    /// <exception cref="StoreException">It exists or cannot be written, or the store is PostgreSQL, whose tool for this is pg_dump.</exception>
    public void BackUp(string file)
    {
        if (Address.Connection is not null)
        {
            throw new StoreException(
                "A PostgreSQL store is backed up with PostgreSQL's own tool: pg_dump --format=custom --schema=xoveropt; pg_restore brings it back.");
        }

        SqliteBackup.Write(_database, file);
    }

    /// <summary>Puts a backup in the place of a store that no worker is using; runs that were held when it was made are free again.</summary>
    /// <param name="file">What <see cref="BackUp"/> wrote.</param>
    /// <param name="address">The folder; a store in it is kept beside the new one as <c>xoveropt.db.before-restore</c>.</param>
    /// <exception cref="StoreException">The file is not a sound backup, a worker holds the folder, or the store is PostgreSQL.</exception>
    public static void Restore(string file, string address)
    {
        var where = StoreAddress.Parse(address);
        if (where.Connection is not null)
        {
            throw new StoreException("A PostgreSQL store is brought back with PostgreSQL's own tool: pg_restore --clean --if-exists.");
        }

        SqliteBackup.Restore(file, where.Folder!);
    }

    /// <summary>Closes it.</summary>
    public void Dispose() => _database.Dispose();
}
