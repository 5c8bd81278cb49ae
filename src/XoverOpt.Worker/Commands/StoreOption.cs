using System.CommandLine;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Commands;

/// <summary><c>--store</c> of the commands that work on a store beside the worker; the worker's own variable names it as well.</summary>
internal static class StoreOption
{
    private static readonly string Variable = SettingTable.All.Single(setting => setting.Key == "store").Variable;

    /// <summary>Opens a store beside the worker that may be using it; makes it where there is none yet.</summary>
    /// <exception cref="StoreException">It cannot be used.</exception>
    public static WorkshopStore Open(string store) =>
        StoreAddress.Parse(store).Folder is { } folder && !File.Exists(Path.Combine(folder, "xoveropt.db"))
            ? WorkshopStore.Open(store, TimeProvider.System)
            : WorkshopStore.OpenBeside(store, TimeProvider.System);

    /// <summary>The option.</summary>
    public static Option<string> Create() => new("--store")
    {
        Description = $"The store: a folder, or a PostgreSQL connection string [{Variable}].",
        HelpName = "STORE",
        DefaultValueFactory = _ => Environment.GetEnvironmentVariable(Variable) is { Length: > 0 } named ? named : new WorkerSettings().StorePath,
    };
}
