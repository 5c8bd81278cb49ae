using System.Data.Common;
using System.Reflection;
using Dapper;

namespace XoverOpt.Workshop.Store.Sql;

/// <summary>The numbered steps from an empty database to today's tables, kept in the program.</summary>
internal static class SchemaSteps
{
    /// <summary>The steps for a kind of database, "sqlite" or "postgres", in their order.</summary>
    public static IReadOnlyList<SchemaStep> Of(string kind)
    {
        Assembly assembly = typeof(SchemaSteps).Assembly;
        return [.. assembly.GetManifestResourceNames()
            .Where(name => name.StartsWith(kind + "/", StringComparison.Ordinal))
            .Order(StringComparer.Ordinal)
            .Select(name =>
            {
                using var reader = new StreamReader(assembly.GetManifestResourceStream(name)!);
                return new SchemaStep(name, reader.ReadToEnd());
            })];
    }

    /// <summary>The steps taken, if they are not more than this program knows.</summary>
    /// <exception cref="StoreException">They are.</exception>
    public static long NotLater(long taken, int known) => taken <= known
        ? taken
        : throw new StoreException($"The store is at version {taken} and this program knows versions up to {known}: use the later program that made it.");
}

/// <summary>One step.</summary>
/// <param name="Name">Kind of database, number and what it is about, such as "sqlite/0003-part-uses".</param>
/// <param name="Sql">Its statements.</param>
internal sealed record SchemaStep(string Name, string Sql)
{
    /// <summary>Takes the step, and fills what it made from what is stored where that takes more than SQL.</summary>
    public void Take(DbConnection connection, DbTransaction transaction)
    {
        connection.Execute(Sql, transaction: transaction);
        if (!Name.EndsWith("-part-uses", StringComparison.Ordinal))
        {
            return;
        }

        // One run at a time: all builds together may be more than the memory holds.
        foreach (string runId in connection.Query<string>("select distinct run_id from builds", transaction: transaction).AsList())
        {
            List<BuildRow> builds = connection.Query<BuildRow>("select rank, cost, json from builds where run_id = @runId", new { runId }, transaction).AsList();
            connection.Execute(SqlPartUses.InsertSql, builds.SelectMany(build => SqlPartUses.Rows(runId, build.Rank, build.Json)), transaction);
        }
    }
}
