using System.CommandLine;
using XoverOpt.Worker.Host;

namespace XoverOpt.Worker.Commands;

/// <summary><c>--store</c> of the commands that work on a store beside the worker; the worker's own variable names it as well.</summary>
internal static class StoreOption
{
    private static readonly string Variable = SettingTable.All.Single(setting => setting.Key == "store").Variable;

    /// <summary>The option.</summary>
    public static Option<string> Create() => new("--store")
    {
        Description = $"Folder of the store [{Variable}].",
        HelpName = "DIR",
        DefaultValueFactory = _ => Environment.GetEnvironmentVariable(Variable) is { Length: > 0 } named ? named : new WorkerSettings().StorePath,
    };
}
