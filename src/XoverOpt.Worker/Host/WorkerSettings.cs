using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Host;

/// <summary>What a worker is told when it starts. <see cref="SettingTable"/> says under which key, variable and flag.</summary>
public sealed record WorkerSettings
{
    /// <summary>Where it listens; this machine only unless told otherwise.</summary>
    public IReadOnlyList<string> Urls { get; init; } = ["http://127.0.0.1:5080"];

    /// <summary>Where the store is: a folder, or the connection string of a PostgreSQL database, which may hold a password (<see cref="Workshop.Store.StoreAddress"/>).</summary>
    public string StorePath { get; init; } = "data";

    /// <summary>The inventory that posted jobs may use; nothing outside it is read for them.</summary>
    public string InventoryRoot { get; init; } = "driverlib";

    /// <summary>Runs worked on at once, ≥ 1; each uses all threads, and the system shares them out.</summary>
    public int RunsAtOnce { get; init; } = 2;

    /// <summary>Least time between two checkpoints of a run: at most so much work is repeated after a crash.</summary>
    public TimeSpan CheckpointEvery { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>How long a run is kept from others after its worker fell silent, ≥ 1 s.</summary>
    public TimeSpan Lease { get; init; } = RunLease.Usual;

    /// <summary>The watched folder; null for jobs/inbox where that is there when the worker starts; empty for none.</summary>
    public string? InboxPath { get; init; }

    /// <summary>How long a file in the watched folder has to keep its size and time before it counts as written.</summary>
    public TimeSpan InboxSettle { get; init; } = TimeSpan.FromSeconds(2);

    /// <summary>
    /// Hosts that jobs may have told of their end, such as "example.org" or "example.org:8443"; without a port the scheme's own is meant.
    /// A private or local address is told only if it is listed itself, as a number.
    /// </summary>
    public IReadOnlyList<string> NotifyHosts { get; init; } = [];

    /// <summary>The secret those hosts check the notice with, at least 16 characters; must be there if there are hosts.</summary>
    public string? NotifySecret { get; init; }

    /// <summary>Days for which ended runs are kept; null for ever.</summary>
    public double? KeepEndedDays { get; init; }

    /// <summary>Threads that evaluate at once in a run, ≥ 1; no result depends on it.</summary>
    public int Threads { get; init; } = Environment.ProcessorCount;

    /// <summary>Names it may be addressed by besides those of loopback.</summary>
    public IReadOnlyList<string> Hosts { get; init; } = [];

    /// <summary>Requests a second that one client may make over time; 0: no limit.</summary>
    public int RequestsPerSecond { get; init; } = 100;

    /// <summary>Requests one client may make at once after a rest, ≥ 1.</summary>
    public int RequestBurst { get; init; } = 1000;

    /// <summary>Connections held at once, ≥ 1; more are closed.</summary>
    public int Connections { get; init; } = 1000;

    /// <summary>Whether the queue's own pages are served, to admins.</summary>
    public bool Dashboard { get; init; }

    /// <summary>Where traces and metrics are sent by OTLP; null: nowhere.</summary>
    public string? OtlpUrl { get; init; }

    /// <summary>Space on the disk of an embedded store below which the worker is not ready, in units of 10⁶ bytes.</summary>
    public int FreeDiskMegabytes { get; init; } = 200;
}
