using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Host;

/// <summary>Every setting of the worker: the one place where they are named and explained. Help text and the operators' README follow it.</summary>
internal static class SettingTable
{
    /// <summary>The settings, in the order of the help.</summary>
    public static IReadOnlyList<Setting> All { get; } =
    [
        Setting.List(
            "urls", "--urls", "URL", "Where to listen; beyond this machine only once there is an API key.", (now, urls) => now with { Urls = urls }, now => now.Urls),
        Setting.List(
            "hosts", "--hosts", "NAME", "Names it may be addressed by besides localhost, such as that of a proxy before it; with keys, none means any.",
            (now, hosts) => now with { Hosts = hosts }, now => now.Hosts),
        Setting.Text(
            "store", "--store", "STORE", "Folder of the store, or the connection string of a PostgreSQL database (\"Host=…;Database=…;Username=…\").",
            (now, store) => now with { StorePath = store }, now => StoreAddress.Parse(now.StorePath).Shown),
        Setting.Text(
            "inventory", "--inventory", "DIR", "Folder of the inventory posted jobs may use; nothing outside it is read for them.",
            (now, path) => now with { InventoryRoot = path }, now => now.InventoryRoot),
        Setting.Text(
            "inbox", "--inbox", "DIR", "The watched folder: job files dropped there are taken; none for no such folder.",
            (now, path) => now with { InboxPath = path == "none" ? "" : path }, now => now.InboxPath) with { UsualWords = "jobs/inbox if it is there" },
        Setting.Number(
            "inboxSettleSeconds", "--inbox-settle", "S", "Seconds for which a file in the watched folder has to keep its size and time before it counts as written.",
            new NumberRange(0.1, 3600, "s"), (now, seconds) => now with { InboxSettle = TimeSpan.FromSeconds(seconds) }, now => now.InboxSettle.TotalSeconds),
        Setting.List(
            "notifyHosts", "--notify-hosts", "HOST", "Hosts that jobs may have told of their end, such as example.org or example.org:8443; a private or local address only where it is listed as a number.",
            (now, hosts) => now with { NotifyHosts = hosts }, now => now.NotifyHosts),
        Setting.Text(
            "notifySecret", "--notify-secret", "SECRET", "The secret those hosts check a notice with, at least 16 characters; better given by environment or file than as a flag.",
            (now, secret) => now with { NotifySecret = secret }, now => now.NotifySecret) with { Secret = true },
        Setting.Number(
            "keepEndedDays", "--keep-ended", "DAYS", "Days for which ended runs are kept; then they are deleted with their builds; 0 keeps them for ever.",
            new NumberRange(0, 36500, "days"), (now, days) => now with { KeepEndedDays = days > 0 ? days : null }, now => now.KeepEndedDays ?? 0),
        Setting.Whole(
            "threads", "--threads", "N", "Threads that evaluate at once in a run.", 1, 1024, (now, count) => now with { Threads = count }, now => now.Threads)
            with { UsualWords = "one a core" },
        Setting.Whole("runs", "--runs", "N", "Jobs worked on at once.", 1, 256, (now, count) => now with { RunsAtOnce = count }, now => now.RunsAtOnce),
        Setting.Number(
            "checkpointSeconds", "--checkpoint", "S", "Least seconds between two checkpoints of a run; at most so much work is repeated after a crash.",
            new NumberRange(0.05, 3600, "s"), (now, seconds) => now with { CheckpointEvery = TimeSpan.FromSeconds(seconds) }, now => now.CheckpointEvery.TotalSeconds),
        Setting.Number(
            "leaseSeconds", "--lease", "S", "Seconds after which the run of a worker that fell silent goes to another.",
            new NumberRange(1, 3600, "s"), (now, seconds) => now with { Lease = TimeSpan.FromSeconds(seconds) }, now => now.Lease.TotalSeconds),
        Setting.Whole(
            "requestsPerSecond", "--requests-per-second", "N", "Requests a second one client may make over time, a client being a key or else an address; 0 sets no limit.",
            0, 100_000, (now, count) => now with { RequestsPerSecond = count }, now => now.RequestsPerSecond),
        Setting.Whole(
            "requestBurst", "--request-burst", "N", "Requests one client may make at once after a rest.", 1, 1_000_000,
            (now, count) => now with { RequestBurst = count }, now => now.RequestBurst),
        Setting.Whole(
            "connections", "--connections", "N", "Connections held at once; more are closed.", 1, 100_000, (now, count) => now with { Connections = count }, now => now.Connections),
        Setting.YesNo(
            "dashboard", "--dashboard", "Serves the queue's own pages at /queue, to admins only.", (now, yes) => now with { Dashboard = yes }, now => now.Dashboard),
        Setting.Text(
            "otlpUrl", "--otlp-url", "URL", "Where traces and metrics are sent by OTLP over gRPC, besides /metrics.", (now, url) => now with { OtlpUrl = url }, now => now.OtlpUrl),
        Setting.Whole(
            "freeDiskMegabytes", "--free-disk", "MB", "Free space on the disk of an embedded store below which the worker says it is not ready.", 0, 1_000_000,
            (now, megabytes) => now with { FreeDiskMegabytes = megabytes }, now => now.FreeDiskMegabytes),
    ];
}
