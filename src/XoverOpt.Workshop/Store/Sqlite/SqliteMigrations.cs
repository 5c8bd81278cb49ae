using System.Globalization;
using Dapper;
using Microsoft.Data.Sqlite;

namespace XoverOpt.Workshop.Store.Sqlite;

/// <summary>Numbered steps from an empty file to today's tables; <c>user_version</c> counts those taken. Steps are never edited, only added.</summary>
internal static class SqliteMigrations
{
    /// <summary>Takes the steps that are missing, each all or nothing.</summary>
    /// <exception cref="StoreException">The file was made by a later version of the program.</exception>
    public static void Apply(SqliteConnection connection)
    {
        string[] steps = [.. Steps()];
        long taken = connection.ExecuteScalar<long>("pragma user_version");
        if (taken > steps.Length)
        {
            throw new StoreException(
                $"The store is at version {taken} and this program knows versions up to {steps.Length}: use the later program that made it.");
        }

        for (long step = taken; step < steps.Length; step++)
        {
            using SqliteTransaction transaction = connection.BeginTransaction(deferred: false);
            connection.Execute(steps[step], transaction: transaction);
            connection.Execute(string.Create(CultureInfo.InvariantCulture, $"pragma user_version = {step + 1}"), transaction: transaction);
            transaction.Commit();
        }
    }

    private static IEnumerable<string> Steps()
    {
        System.Reflection.Assembly assembly = typeof(SqliteMigrations).Assembly;
        return assembly.GetManifestResourceNames()
            .Where(name => name.StartsWith("sqlite/", StringComparison.Ordinal))
            .Order(StringComparer.Ordinal)
            .Select(name =>
            {
                using var reader = new StreamReader(assembly.GetManifestResourceStream(name)!);
                return reader.ReadToEnd();
            });
    }
}
