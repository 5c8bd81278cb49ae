using System.CommandLine;
using XoverOpt.Worker.Host;

namespace XoverOpt.Worker.Commands;

/// <summary><c>serve</c>: the worker.</summary>
internal static class ServeCommand
{
    private const string About = "Runs the worker: takes jobs over HTTP, works on them, and keeps everything in a store.";

    private const string Guide =
        """
        A job that was acknowledged survives a crash: it goes on from its last checkpoint when the worker is started again.
        It listens to this machine only unless --urls says otherwise; it asks nobody who they are.

        Examples:
          xoveropt serve
          xoveropt serve --urls http://127.0.0.1:8080 --store /srv/xoveropt --inventory driverlib
          curl -H 'Content-Type: application/json' --data-binary @jobs/stage.json http://127.0.0.1:5080/api/jobs

        The API describes itself at /openapi/v1.json.
        Exit codes: 0 stopped in good order; 1 the command line is wrong; 2 the store or the address cannot be used.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        WorkerSettings usual = new();
        Option<string[]> urls = new("--urls")
        {
            Description = "Where to listen.",
            HelpName = "URL",
            AllowMultipleArgumentsPerToken = true,
            DefaultValueFactory = _ => [.. usual.Urls],
        };
        Option<string> store = new("--store") { Description = "Folder of the store.", HelpName = "DIR", DefaultValueFactory = _ => usual.StorePath };
        Option<string> inventory = new("--inventory")
        {
            Description = "Folder of the inventory posted jobs may use; nothing outside it is read for them.",
            HelpName = "DIR",
            DefaultValueFactory = _ => usual.InventoryRoot,
        };
        Option<int> threads = new("--threads")
        {
            Description = "Threads that evaluate at once in a run.",
            HelpName = "N",
            DefaultValueFactory = _ => usual.Threads,
        };
        Option<int> runs = new("--runs") { Description = "Jobs worked on at once.", HelpName = "N", DefaultValueFactory = _ => usual.RunsAtOnce };
        Option<double> checkpoint = new("--checkpoint")
        {
            Description = "Least seconds between two checkpoints of a run; at most so much work is repeated after a crash.",
            HelpName = "S",
            DefaultValueFactory = _ => usual.CheckpointEvery.TotalSeconds,
        };
        Option<string?> inbox = new("--inbox")
        {
            Description = "The watched folder: job files dropped there are taken; jobs/inbox if that is there, \"\" for none.",
            HelpName = "DIR",
        };
        threads.Allow(count => count >= 1, "1 or more");
        runs.Allow(count => count >= 1, "1 or more");
        checkpoint.Allow(seconds => seconds is >= 0.05 and <= 3600, "0.05 to 3600 s");
        urls.Allow(list => Urls(list).All(IsAddress), "addresses such as http://127.0.0.1:5080");
        GuidedCommand command = new("serve", About, Guide) { urls, store, inventory, threads, runs, checkpoint, inbox };
        command.SetAction(parsed => Run(new WorkerSettings
        {
            Urls = [.. Urls(parsed.GetRequiredValue(urls))],
            StorePath = parsed.GetRequiredValue(store),
            InventoryRoot = parsed.GetRequiredValue(inventory),
            InboxPath = parsed.GetValue(inbox),
            Threads = parsed.GetValue(threads),
            RunsAtOnce = parsed.GetValue(runs),
            CheckpointEvery = TimeSpan.FromSeconds(parsed.GetValue(checkpoint)),
        }));
        return command;
    }

    private static IEnumerable<string> Urls(string[]? lists) => (lists ?? []).SelectMany(list => list.Split(';'));

    private static bool IsAddress(string url) =>
        Uri.TryCreate(url.Replace("//*", "//any", StringComparison.Ordinal).Replace("//+", "//any", StringComparison.Ordinal), UriKind.Absolute, out Uri? address)
        && address.Scheme is "http" or "https";

    private static int Run(WorkerSettings settings)
    {
        // Searches keep pool threads busy; the API needs some besides.
        ThreadPool.GetMinThreads(out int pool, out int ports);
        ThreadPool.SetMinThreads(Math.Max(pool, (settings.Threads * settings.RunsAtOnce) + 4), ports);

        using WebApplication app = WorkerApp.Build(settings);
        app.Start();
        Console.Error.WriteLine($"Listening at {string.Join(", ", app.Urls)}, store in {settings.StorePath}, inventory in {settings.InventoryRoot}. Ctrl-C ends it.");
        app.WaitForShutdown();
        return ExitCode.Done;
    }
}
