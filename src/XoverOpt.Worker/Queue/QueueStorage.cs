using System.Data.Common;
using Hangfire;
using Hangfire.InMemory;
using Hangfire.PostgreSql;
using Hangfire.PostgreSql.Factories;
using Npgsql;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>What the queue keeps its bells in: memory, or the schema <c>hangfire</c> of a PostgreSQL store, where they wake every process.</summary>
internal static class QueueStorage
{
    // Any number, the same in every version: two first starts at once would trip over each other's tables.
    private const long Lock = 0x586f766572517565;

    /// <summary>Opens it; in PostgreSQL makes its tables if they are missing, one process at a time.</summary>
    /// <exception cref="StoreException">The database cannot be used.</exception>
    public static JobStorage Open(StoreAddress store)
    {
        if (store.Connection is null)
        {
            // Refilled from the store. Built here rather than through the queue's global configuration, so that two workers in one
            // process do not share one.
            return new InMemoryStorage(new InMemoryStorageOptions { MaxExpirationTime = TimeSpan.FromMinutes(10) });
        }

        PostgreSqlStorageOptions options = new()
        {
            SchemaName = "hangfire",
            PrepareSchemaIfNecessary = true,

            // A bell is heard for as long as its run takes; without the sliding it would be rung again at the end of the timeout.
            UseSlidingInvisibilityTimeout = true,
            InvisibilityTimeout = TimeSpan.FromSeconds(60),
            EnableLongPolling = true,
        };
        try
        {
            using NpgsqlConnection connection = new(new NpgsqlConnectionStringBuilder(store.Connection) { Pooling = false }.ToString());
            connection.Open();
            using (NpgsqlCommand hold = new($"select pg_advisory_lock({Lock})", connection))
            {
                hold.ExecuteNonQuery();
            }

            // Closing the connection lets go of the lock.
            return new PostgreSqlStorage(new NpgsqlConnectionFactory(store.Connection, options), options);
        }
        catch (DbException failure)
        {
            throw new StoreException($"The queue in the store ({store}) cannot be used: {failure.Message}");
        }
    }
}
