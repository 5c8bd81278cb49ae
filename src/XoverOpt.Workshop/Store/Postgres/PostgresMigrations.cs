using Dapper;
using Npgsql;
using XoverOpt.Workshop.Store.Sql;

namespace XoverOpt.Workshop.Store.Postgres;

/// <summary>Numbered steps from an empty database to today's tables, in the schema <c>xoveropt</c>. Steps are never edited, only added.</summary>
internal static class PostgresMigrations
{
    // Any number, the same in every version: one process at a time looks and takes steps.
    private const long Lock = 0x586f7665724f7074;

    /// <summary>Takes the steps that are missing, all or nothing.</summary>
    /// <exception cref="StoreException">The tables were made by a later version of the program.</exception>
    public static void Apply(NpgsqlConnection connection)
    {
        IReadOnlyList<SchemaStep> steps = SchemaSteps.Of("postgres");
        using NpgsqlTransaction transaction = connection.BeginTransaction();
        connection.Execute($"select pg_advisory_xact_lock({Lock})", transaction: transaction);

        // Asked first: a user who may not make schemas can still use one that is there.
        if (connection.QuerySingle<string?>("select to_regclass('xoveropt.schema_version')::text", transaction: transaction) is null)
        {
            if (connection.QuerySingle<string?>("select to_regnamespace('xoveropt')::text", transaction: transaction) is null)
            {
                connection.Execute("create schema xoveropt", transaction: transaction);
            }

            connection.Execute("create table schema_version (version bigint not null)", transaction: transaction);
            connection.Execute("insert into schema_version values (0)", transaction: transaction);
        }

        long taken = SchemaSteps.NotLater(connection.QuerySingle<long>("select version from schema_version", transaction: transaction), steps.Count);
        foreach (SchemaStep step in steps.Skip((int)taken))
        {
            step.Take(connection, transaction);
        }

        connection.Execute("update schema_version set version = @version where version < @version", new { version = (long)steps.Count }, transaction);
        transaction.Commit();
    }
}
