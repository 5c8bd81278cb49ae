using System.Data.Common;
using System.Globalization;
using Npgsql;

namespace XoverOpt.Workshop.Store;

/// <summary>Where a store is: a folder, or a PostgreSQL database by its connection string ("Host=…;Database=…;Username=…").</summary>
public sealed class StoreAddress
{
    private StoreAddress(string? folder, string? connection, string shown)
    {
        Folder = folder;
        Connection = connection;
        Shown = shown;
    }

    /// <summary>The folder; null on PostgreSQL.</summary>
    public string? Folder { get; }

    /// <summary>The connection string, which may hold a password: never shown; null for a folder.</summary>
    public string? Connection { get; }

    /// <summary>For messages and logs, without secrets.</summary>
    public string Shown { get; }

    /// <summary>Reads an address.</summary>
    /// <exception cref="StoreException">A connection string that cannot be read; the message does not repeat it.</exception>
    public static StoreAddress Parse(string text)
    {
        if (text.StartsWith("postgres://", StringComparison.OrdinalIgnoreCase) || text.StartsWith("postgresql://", StringComparison.OrdinalIgnoreCase))
        {
            throw new StoreException("A PostgreSQL store is given as \"Host=…;Database=…;Username=…\", not as an address with ://.");
        }

        if (!IsConnection(text))
        {
            return new StoreAddress(text, null, text);
        }

        try
        {
            NpgsqlConnectionStringBuilder parts = new(text);
            return new StoreAddress(
                null,
                text,
                string.Create(CultureInfo.InvariantCulture, $"PostgreSQL at {parts.Host}:{parts.Port}, database {parts.Database ?? parts.Username}"));
        }
        catch (Exception failure) when (failure is ArgumentException or FormatException or InvalidCastException)
        {
            // The cause may quote a value, and the value may be the password: it goes no further.
            throw new StoreException(
                "The store's connection string cannot be read: expected Key=Value pairs such as \"Host=db;Database=xoveropt;Username=xoveropt;Password=…\".");
        }
    }

    /// <inheritdoc/>
    public override string ToString() => Shown;

    // A folder may have an equals sign in its name; a connection string has a host.
    private static bool IsConnection(string text)
    {
        try
        {
            DbConnectionStringBuilder parts = new() { ConnectionString = text };
            return parts.ContainsKey("Host") || parts.ContainsKey("Server");
        }
        catch (ArgumentException)
        {
            return text.Split(';').Any(part => part.TrimStart().StartsWith("Host=", StringComparison.OrdinalIgnoreCase));
        }
    }
}
