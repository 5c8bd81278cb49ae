using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Host;

/// <summary>Settings and where each came from.</summary>
/// <param name="Settings">What holds.</param>
/// <param name="Origins">By key: the file, variable or flag that said so; a key that nobody named is missing.</param>
internal sealed record GivenSettings(WorkerSettings Settings, IReadOnlyDictionary<string, string> Origins)
{
    /// <summary>The variable that names the settings file.</summary>
    public const string FileVariable = Setting.Prefix + "CONFIG";

    // Variables of the commands that speak to a worker; they stand in the same environment and are not the worker's.
    private static readonly string[] ClientVariables = [Setting.Prefix + "KEY", Setting.Prefix + "URL"];

    /// <summary>Reads settings from a file, then the environment, then flags; what comes later holds. All faults at once.</summary>
    /// <param name="file">The settings file; null for none.</param>
    /// <param name="variables">The environment.</param>
    /// <param name="flags">Settings given as flags, with their text.</param>
    public static Reading<GivenSettings> Read(string? file, IEnumerable<KeyValuePair<string, string>> variables, IEnumerable<KeyValuePair<Setting, string>> flags)
    {
        FaultList faults = new();
        WorkerSettings now = new();
        Dictionary<string, string> origins = [];

        if (file is not null && JsonSource.Open(file, faults) is { } top && top.AsObject("an object of settings") is { } reader)
        {
            foreach (Setting setting in SettingTable.All)
            {
                if (reader.Optional(setting.Key) is { } at)
                {
                    Take(setting, at, file);
                }
            }

            reader.Finish();
        }

        string[] known = [.. SettingTable.All.Select(setting => setting.Variable), FileVariable];
        foreach ((string name, string text) in variables.Where(pair => pair.Key.StartsWith(Setting.Prefix, StringComparison.Ordinal)).OrderBy(pair => pair.Key, StringComparer.Ordinal))
        {
            if (SettingTable.All.FirstOrDefault(setting => setting.Variable == name) is { } setting)
            {
                Take(setting, new JsonCursor(name, "", setting.Element(text), faults), name);
            }
            else if (name != FileVariable && !ClientVariables.Contains(name))
            {
                faults.Add(new Fault("environment", "", $"the unknown variable {name}", "the variables that serve --help lists", Nearest.Hint(name, known)));
            }
        }

        foreach ((Setting setting, string text) in flags)
        {
            Take(setting, new JsonCursor(setting.Flag, "", setting.Element(text), faults), setting.Flag);
        }

        CheckWhole(now, origins, faults);
        return faults.End(new GivenSettings(now, origins));

        void Take(Setting setting, JsonCursor at, string origin)
        {
            FaultList own = new();
            now = setting.Read(at with { Faults = own }, now);
            origins[setting.Key] = origin;
            foreach (Fault fault in own.Items)
            {
                faults.Add(setting.Secret ? fault with { Found = "a value that is not shown" } : fault);
            }
        }
    }

    /// <summary>Every setting, its value and where it came from, a line each.</summary>
    public IEnumerable<string> Lines() => SettingTable.All.Select(setting =>
        $"{setting.Key,-18} {(setting.Secret && Origins.ContainsKey(setting.Key) ? "(set, not shown)" : setting.Show(Settings))}  ({Origins.GetValueOrDefault(setting.Key, "usual")})");

    private static void CheckWhole(WorkerSettings now, Dictionary<string, string> origins, FaultList faults)
    {
        foreach (string url in now.Urls.Where(url => ListenAddress.Parse(url) is null))
        {
            faults.Add(new Fault(Named("urls"), "", url, "addresses such as http://127.0.0.1:5080"));
        }

        if (now.Urls.Count == 0)
        {
            faults.Add(new Fault(Named("urls"), "", "nothing", "at least one address such as http://127.0.0.1:5080"));
        }

        try
        {
            StoreAddress.Parse(now.StorePath);
        }
        catch (StoreException failure)
        {
            // Its message repeats nothing of what may be a password.
            faults.Add(new Fault(Named("store"), "", "a value that is not shown", "a folder or a connection string", failure.Message));
        }

        if (!Directory.Exists(now.InventoryRoot))
        {
            faults.Add(new Fault(
                Named("inventory"), "", $"no folder '{now.InventoryRoot}'", "the folder of the inventory", "Name it with --inventory; paths start from where the command is typed."));
        }

        if (now.OtlpUrl is { } otlp && !(Uri.TryCreate(otlp, UriKind.Absolute, out Uri? address) && address.Scheme is "http" or "https"))
        {
            faults.Add(new Fault(Named("otlpUrl"), "", otlp, "an address such as http://127.0.0.1:4317"));
        }

        string Named(string key) => origins.GetValueOrDefault(key) is not { } origin
            ? SettingTable.All.Single(setting => setting.Key == key).Flag
            : origin.StartsWith('-') || origin.StartsWith(Setting.Prefix, StringComparison.Ordinal) ? origin : $"{origin} at /{key}";
    }
}
