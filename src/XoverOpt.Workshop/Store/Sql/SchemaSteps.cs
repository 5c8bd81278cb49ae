using System.Reflection;

namespace XoverOpt.Workshop.Store.Sql;

/// <summary>The numbered steps from an empty database to today's tables, kept in the program.</summary>
internal static class SchemaSteps
{
    /// <summary>The steps for a kind of database, "sqlite" or "postgres", in their order.</summary>
    public static IReadOnlyList<string> Of(string kind)
    {
        Assembly assembly = typeof(SchemaSteps).Assembly;
        return [.. assembly.GetManifestResourceNames()
            .Where(name => name.StartsWith(kind + "/", StringComparison.Ordinal))
            .Order(StringComparer.Ordinal)
            .Select(name =>
            {
                using var reader = new StreamReader(assembly.GetManifestResourceStream(name)!);
                return reader.ReadToEnd();
            })];
    }

    /// <summary>The steps taken, if they are not more than this program knows.</summary>
    /// <exception cref="StoreException">They are.</exception>
    public static long NotLater(long taken, int known) => taken <= known
        ? taken
        : throw new StoreException($"The store is at version {taken} and this program knows versions up to {known}: use the later program that made it.");
}
