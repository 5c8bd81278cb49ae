using System.Globalization;
using Dapper;
using Microsoft.Data.Sqlite;
using XoverOpt.Workshop.Store.Sql;

namespace XoverOpt.Workshop.Store.Sqlite;

/// <summary>Numbered steps from an empty file to today's tables; <c>user_version</c> counts those taken. Steps are never edited, only added.</summary>
internal static class SqliteMigrations
{
    /// <summary>Takes the steps that are missing, each all or nothing.</summary>
    /// <exception cref="StoreException">The file was made by a later version of the program.</exception>
    public static void Apply(SqliteConnection connection)
    {
        IReadOnlyList<SchemaStep> steps = SchemaSteps.Of("sqlite");
        for (long step = Taken(connection, steps.Count); step < steps.Count; step++)
        {
            using SqliteTransaction transaction = connection.BeginTransaction(deferred: false);
            steps[(int)step].Take(connection, transaction);
            connection.Execute(string.Create(CultureInfo.InvariantCulture, $"pragma user_version = {step + 1}"), transaction: transaction);
            transaction.Commit();
        }
    }

    /// <summary>Sees to it that no step is missing.</summary>
    /// <exception cref="StoreException">One is, or the file was made by a later version of the program.</exception>
    public static void Check(SqliteConnection connection)
    {
        IReadOnlyList<SchemaStep> steps = SchemaSteps.Of("sqlite");
        if (Taken(connection, steps.Count) < steps.Count)
        {
            throw new StoreException("The store was made by an earlier version of the program: start the worker of this version on it first.");
        }
    }

    private static long Taken(SqliteConnection connection, int known) =>
        SchemaSteps.NotLater(connection.ExecuteScalar<long>("pragma user_version"), known);
}
