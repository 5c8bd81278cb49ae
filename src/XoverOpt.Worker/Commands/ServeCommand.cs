using System.Collections;
using System.CommandLine;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Commands;

/// <summary><c>serve</c>: the worker.</summary>
internal static class ServeCommand
{
    private const string About = "Runs the worker: takes jobs over HTTP, works on them, and keeps everything in a store.";

    private const string Guide =
        """
        A job that was acknowledged survives a crash: it goes on from its last checkpoint when the worker is started again.
        Each setting may stand in a JSON file (--config FILE or XOVEROPT_CONFIG), in the environment, or on the command line; the
        last of these that names it holds. It listens to this machine only unless --urls says otherwise, and is then open to whoever
        is on the machine; once there is an API key (keys add), every request needs one, and beyond this machine it does not start without.

        Examples:
          xoveropt serve
          xoveropt serve --urls http://127.0.0.1:8080 --store /srv/xoveropt --inventory driverlib
          xoveropt serve --config /etc/xoveropt.json --settings       show what would hold, and why
          curl -H 'Content-Type: application/json' --data-binary @jobs/stage.json http://127.0.0.1:5080/api/jobs

        The API describes itself at /openapi/v1.json.
        Exit codes: 0 stopped in good order; 1 the settings are wrong; 2 the store or the address cannot be used.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Option<string> file = new("--config") { Description = "A JSON file of settings.", HelpName = "FILE" };
        Option<bool> show = new("--settings") { Description = "Shows what would hold and where it was said, and ends." };
        (Setting Setting, Option Option)[] options = [.. SettingTable.All.Select(setting => (setting, OptionOf(setting)))];
        GuidedCommand command = new("serve", About, Guide) { file, show };
        foreach ((_, Option option) in options)
        {
            command.Add(option);
        }

        command.SetAction(parsed =>
        {
            KeyValuePair<string, string>[] variables = [.. Environment.GetEnvironmentVariables().Cast<DictionaryEntry>()
                .Select(pair => KeyValuePair.Create((string)pair.Key, (string?)pair.Value ?? ""))];
            var flags = options
                .Select(one => (one.Setting, Result: parsed.GetResult(one.Option)))
                .Where(one => one.Result is { Implicit: false })
                .Select(one => KeyValuePair.Create(one.Setting, string.Join(' ', one.Result!.Tokens.Select(token => token.Value))));
            string? path = parsed.GetValue(file) ?? variables.FirstOrDefault(pair => pair.Key == GivenSettings.FileVariable).Value;
            Reading<GivenSettings> reading = GivenSettings.Read(path, variables, flags);
            return !reading.IsGood ? CommandLine.Refuse(reading.Faults) : parsed.GetValue(show) ? Show(reading.Value) : Run(reading.Value.Settings);
        });
        return command;
    }

    /// <summary>What the help says about a setting.</summary>
    public static string Describe(Setting setting) => $"{setting.About} [{setting.Key}, {setting.Variable}; usual: {setting.Usual}]";

    private static Option OptionOf(Setting setting) => setting.Kind == SettingKind.List
        ? new Option<string[]>(setting.Flag)
        {
            Description = Describe(setting),
            HelpName = setting.Value,
            AllowMultipleArgumentsPerToken = true,
            Arity = ArgumentArity.OneOrMore,
        }
        : new Option<string>(setting.Flag)
        {
            Description = Describe(setting),
            HelpName = setting.Value,
            Arity = setting.Kind == SettingKind.YesNo ? ArgumentArity.ZeroOrOne : ArgumentArity.ExactlyOne,
        };

    private static int Show(GivenSettings given)
    {
        foreach (string line in given.Lines())
        {
            Console.WriteLine(line);
        }

        return ExitCode.Done;
    }

    private static int Run(WorkerSettings settings)
    {
        // Looked at beforehand: the server would say it in several log records, and the queue would have begun by then.
        foreach (string url in settings.Urls)
        {
            if (ListenAddress.Parse(url) is { Port: > 0 } address && address.Obstacle() is { } obstacle)
            {
                return CommandLine.Fail($"cannot listen at {url}: {obstacle}.");
            }
        }

        // Searches keep pool threads busy; the API needs some besides.
        ThreadPool.GetMinThreads(out int pool, out int ports);
        ThreadPool.SetMinThreads(Math.Max(pool, (settings.Threads * settings.RunsAtOnce) + 4), ports);

        using WebApplication app = WorkerApp.Build(settings);
        if (Doorway.Refusal(app.Services, settings) is { } refusal)
        {
            return CommandLine.Refuse([refusal]);
        }

        app.Start();
        Console.Error.WriteLine($"Listening at {string.Join(", ", app.Urls)}, store in {StoreAddress.Parse(settings.StorePath).Shown}, inventory in {settings.InventoryRoot}. Ctrl-C ends it.");
        app.WaitForShutdown();
        return ExitCode.Done;
    }
}
