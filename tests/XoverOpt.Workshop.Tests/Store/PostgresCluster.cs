using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using Npgsql;

[assembly: AssemblyFixture(typeof(XoverOpt.Workshop.Tests.Store.PostgresCluster))]

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>
/// A PostgreSQL server of the tests' own: made when it is first asked for, on a free port of the loopback, gone at the end. The server
/// refuses to run as root; then it runs as the user <c>postgres</c> that Debian's package makes.
/// </summary>
public sealed class PostgresCluster : IDisposable
{
    private readonly Lock _making = new();
    private string? _folder;
    private int _port;
    private int _databases;

    /// <summary>Makes an empty database.</summary>
    /// <returns>Its connection string.</returns>
    public string NewDatabase()
    {
        lock (_making)
        {
            if (_folder is null)
            {
                Make();
            }

            string name = string.Create(CultureInfo.InvariantCulture, $"store{++_databases}");
            using NpgsqlConnection connection = new(Address("postgres") + ";Pooling=false");
            connection.Open();
            using NpgsqlCommand command = new($"create database {name} template template0", connection);
            command.ExecuteNonQuery();
            return Address(name);
        }
    }

    /// <summary>Starts the server; it answers when this returns.</summary>
    public void Start() => Run("pg_ctl", "start", "-w", "-D", _folder!, "-l", _folder + "/log", "-o",
        string.Create(CultureInfo.InvariantCulture, $"-p {_port} -k {_folder} -c listen_addresses=127.0.0.1 -c fsync=off -c max_connections=200 -c shared_buffers=32MB"));

    /// <summary>Stops it.</summary>
    /// <param name="mode">fast cuts the connections in good order; immediate is a crash.</param>
    public void Stop(string mode = "fast") => Run("pg_ctl", "stop", "-w", "-D", _folder!, "-m", mode);

    public void Dispose()
    {
        if (_folder is not null)
        {
            NpgsqlConnection.ClearAllPools();
            Stop("immediate");
            Directory.Delete(_folder, recursive: true);
        }
    }

    private static string Programs()
    {
        const string Debian = "/usr/lib/postgresql";
        return Directory.Exists(Debian)
            ? Directory.GetDirectories(Debian).OrderByDescending(path => int.Parse(Path.GetFileName(path), CultureInfo.InvariantCulture)).First() + "/bin/"
            : "";
    }

    private static void Run(string program, params string[] args)
    {
        bool root = Environment.UserName == "root";
        ProcessStartInfo start = new(root ? "runuser" : Programs() + program) { RedirectStandardOutput = true, RedirectStandardError = true, WorkingDirectory = "/" };
        foreach (string arg in (root ? (string[])["-u", "postgres", "--", Programs() + program, .. args] : args))
        {
            start.ArgumentList.Add(arg);
        }

        using Process process = Process.Start(start)!;

        // The server inherits the pipes and keeps them open: what was printed is read only if the program failed.
        process.WaitForExit();
        if (process.ExitCode != 0)
        {
            throw new InvalidOperationException($"{program} {args[0]}: {process.StandardError.ReadToEnd()}");
        }
    }

    private string Address(string database) =>
        string.Create(CultureInfo.InvariantCulture, $"Host=127.0.0.1;Port={_port};Database={database};Username=xoveropt;Password=not-a-secret");

    private void Make()
    {
        _folder = Directory.CreateTempSubdirectory("postgres").FullName;
        if (Environment.UserName == "root")
        {
            using Process own = Process.Start("chown", ["postgres", _folder]);
            own.WaitForExit();
        }

        using (TcpListener free = new(IPAddress.Loopback, 0))
        {
            free.Start();
            _port = ((IPEndPoint)free.LocalEndpoint).Port;
        }

        Run("initdb", "-D", _folder, "-U", "xoveropt", "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync");
        Start();
    }
}
