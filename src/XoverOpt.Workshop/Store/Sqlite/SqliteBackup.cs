using System.Data.Common;
using Dapper;
using Microsoft.Data.Sqlite;
using XoverOpt.Workshop.Store.Sql;

namespace XoverOpt.Workshop.Store.Sqlite;

/// <summary>A SQLite store as one file that can be put away. Copying the file of a store in use would miss its log.</summary>
internal static class SqliteBackup
{
    /// <summary>Writes a backup; under its name it is there whole or not at all.</summary>
    public static void Write(Database database, string file)
    {
        string full = Path.GetFullPath(file);
        if (File.Exists(full))
        {
            throw new StoreException($"The file '{file}' exists: a backup is written to a new file.");
        }

        string partial = full + ".partial";
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(full)!);
            File.Delete(partial);
            using (DbConnection connection = database.Connect())
            {
                connection.Execute("vacuum into @partial", new { partial });
            }

            Flush(partial);
            File.Move(partial, full);
        }
        catch (Exception failure) when (failure is DbException or IOException or UnauthorizedAccessException)
        {
            File.Delete(partial);
            throw new StoreException($"The backup '{file}' cannot be written: {failure.Message}", failure);
        }
    }

    /// <summary>Puts a backup in a store's place.</summary>
    public static void Restore(string file, string folder)
    {
        using var directory = DataDirectory.Open(folder);
        string store = SqliteDatabase.FileIn(directory.Path);
        string fresh = store + ".restored";
        try
        {
            File.Copy(file, fresh, overwrite: true);
            Flush(fresh);
            Check(fresh, file);

            if (File.Exists(store))
            {
                KeepAside(store);
            }

            // One step: whoever opens the store finds the one before or the one restored, never none.
            File.Move(fresh, store, overwrite: true);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new StoreException($"The backup '{file}' cannot be put into '{folder}': {failure.Message}", failure);
        }
        finally
        {
            File.Delete(fresh);
        }
    }

    /// <summary>
    /// Keeps the store that stands there under a name not taken yet. What its log holds is first brought into the file, since a log belongs to no
    /// other file; of a damaged store file and log are moved as they are.
    /// </summary>
    private static void KeepAside(string store)
    {
        string kept = store + ".before-restore";
        for (int n = 2; File.Exists(kept); n++)
        {
            kept = FormattableString.Invariant($"{store}.before-restore-{n}");
        }

        try
        {
            using SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = store, Pooling = false }.ToString());
            connection.Open();
            connection.Execute("pragma wal_checkpoint(truncate)");
        }
        catch (SqliteException)
        {
            // It is kept all the same: somebody may want to look at it.
        }

        File.Copy(store, kept);
        Flush(kept);
        foreach (string part in (string[])["-wal", "-shm"])
        {
            if (File.Exists(store + part))
            {
                File.Move(store + part, kept + part);
            }
        }
    }

    private static void Check(string copy, string file)
    {
        try
        {
            using SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = copy, Pooling = false }.ToString());
            connection.Open();
            string said = connection.QueryFirst<string>("pragma integrity_check(1)");
            long version = SchemaSteps.NotLater(connection.ExecuteScalar<long>("pragma user_version"), SchemaSteps.Of("sqlite").Count);
            if (said != "ok" || version == 0)
            {
                throw new StoreException($"The file '{file}' is not a sound backup: {(said == "ok" ? "it holds no store" : said)}.");
            }
        }
        catch (SqliteException failure)
        {
            throw new StoreException($"The file '{file}' is not a sound backup: {failure.Message}", failure);
        }
    }

    private static void Flush(string file)
    {
        using FileStream written = new(file, FileMode.Open, FileAccess.ReadWrite);
        written.Flush(flushToDisk: true);
    }
}
