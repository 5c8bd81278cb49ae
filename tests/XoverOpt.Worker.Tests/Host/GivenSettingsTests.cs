using System.Net;
using System.Net.Sockets;
using XoverOpt.Worker.Commands;
using XoverOpt.Worker.Host;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Tests.Host;

public sealed class GivenSettingsTests : IDisposable
{
    private readonly Desk _desk = new();

    public void Dispose() => _desk.Dispose();

    [Fact]
    public void Read_FileThenEnvironmentThenFlags_TheLastThatNamesItHolds()
    {
        Reading<GivenSettings> reading = Read(
            "{ \"inventory\": \"INV\", \"threads\": 2, \"runs\": 3, \"connections\": 40, \"urls\": [\"http://127.0.0.1:1\", \"http://[::1]:2\"], \"dashboard\": true }",
            [("XOVEROPT_RUNS", "4"), ("XOVEROPT_CONNECTIONS", "50"), ("XOVEROPT_CHECKPOINT_SECONDS", "0.5"), ("PATH", "x"), ("XOVEROPT_KEY", "mine")],
            [("connections", "60"), ("urls", "http://localhost:3;http://127.0.0.1:4")]);

        Assert.Empty(reading.Faults);
        WorkerSettings settings = reading.Value!.Settings;
        Assert.Equal((2, 4, 60, true, 0.5), (settings.Threads, settings.RunsAtOnce, settings.Connections, settings.Dashboard, settings.CheckpointEvery.TotalSeconds));
        Assert.Equal(["http://localhost:3", "http://127.0.0.1:4"], settings.Urls);
        Assert.Equal("XOVEROPT_RUNS", reading.Value.Origins["runs"]);
        Assert.Equal(new WorkerSettings().RequestBurst, settings.RequestBurst);
    }

    [Fact]
    public void Read_FaultsEverywhere_AreAllToldWithTheNearestName()
    {
        Reading<GivenSettings> reading = Read(
            "{ \"inventory\": \"INV\", \"thraeds\": 2, \"runs\": \"3\", \"urls\": [] }",
            [("XOVEROPT_CONECTIONS", "4"), ("XOVEROPT_CHECKPOINT_SECONDS", "soon")],
            [("dashboard", "perhaps"), ("otlpUrl", "nowhere")]);

        string[] told = [.. reading.Faults.Select(fault => fault.Message)];
        Assert.Contains(told, text => text.Contains("at /thraeds: found the unknown key", StringComparison.Ordinal) && text.Contains("Did you mean \"threads\"?", StringComparison.Ordinal));
        Assert.Contains(told, text => text.Contains("at /runs: found the text \"3\"; allowed: a whole number from 1 to 256", StringComparison.Ordinal));
        Assert.Contains(told, text => text.Contains("at /urls: found nothing", StringComparison.Ordinal));
        Assert.Contains(told, text => text.Contains("Did you mean \"XOVEROPT_CONNECTIONS\"?", StringComparison.Ordinal));
        Assert.Contains(told, text => text.StartsWith("XOVEROPT_CHECKPOINT_SECONDS: found the text \"soon\"; allowed: a number from 0.05 s to 3600 s.", StringComparison.Ordinal));
        Assert.Contains(told, text => text.StartsWith("--dashboard: found the text \"perhaps\"; allowed: true or false.", StringComparison.Ordinal));
        Assert.Contains(told, text => text.StartsWith("--otlp-url: found nowhere;", StringComparison.Ordinal));
        Assert.Equal(7, told.Length);
    }

    [Fact]
    public void Table_KeysVariablesAndFlags_AreEachTheirOwn()
    {
        Assert.Distinct(SettingTable.All.Select(setting => setting.Key));
        Assert.Distinct(SettingTable.All.Select(setting => setting.Flag));
        Assert.Distinct(SettingTable.All.Select(setting => setting.Variable));

        // A value as shown reads back to itself: the table's two ways agree.
        foreach (Setting setting in SettingTable.All.Where(setting => setting.Show(new WorkerSettings()) != "none"))
        {
            FaultList faults = new();
            string shown = setting.Show(new WorkerSettings());
            WorkerSettings read = setting.Read(new JsonCursor("x", "", setting.Element(shown), faults), new WorkerSettings());
            Assert.Empty(faults.Items);
            Assert.Equal(shown, setting.Show(read));
        }
    }

    [Fact]
    public async Task Serve_Settings_ShowsValuesAndOriginsAndNoPassword()
    {
        _desk.Write("worker.json", "{ \"runs\": 1 }");

        (int exit, string output, string error) = await Cli.Run(
            _desk.Root, "serve", "--settings", "--config", "worker.json", "--store", "Host=db;Username=xo;Password=geheim;Database=xo", "--dashboard");

        Assert.True(exit == 0, error);
        Assert.Matches("runs +1 +\\(worker.json\\)", output);
        Assert.Matches("dashboard +true +\\(--dashboard\\)", output);
        Assert.Matches("threads +[0-9]+ +\\(usual\\)", output);
        Assert.Contains("PostgreSQL at db:5432, database xo", output, StringComparison.Ordinal);
        Assert.DoesNotContain("geheim", output + error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Serve_Help_NamesEverySettingWithKeyVariableAndUsualValue()
    {
        (_, string output, _) = await Cli.Run(_desk.Root, "serve", "--help");

        foreach (Setting setting in SettingTable.All)
        {
            Assert.Contains(setting.Flag, output, StringComparison.Ordinal);
            Assert.Contains(ServeCommand.Describe(setting), output, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Serve_PortTakenOrInventoryMissing_FailsInOneLine()
    {
        using TcpListener other = new(IPAddress.Loopback, 0);
        other.Start();
        int port = ((IPEndPoint)other.LocalEndpoint).Port;

        (int taken, string log, string error) = await Cli.Run(_desk.Root, "serve", "--urls", $"http://127.0.0.1:{port}", "--store", "store");
        (int missing, _, string none) = await Cli.Run(_desk.Root, "serve", "--inventory", "nowhere", "--store", "store");

        Assert.Equal((2, 1), (taken, missing));
        Assert.Equal($"xoveropt: cannot listen at http://127.0.0.1:{port}: another program listens there already; end it, or choose another port with --urls.\n", log + error);
        Assert.StartsWith("--inventory: found no folder 'nowhere'; allowed: the folder of the inventory.", none, StringComparison.Ordinal);
        Assert.Single(none.TrimEnd('\n').Split('\n'));
        Assert.False(Directory.Exists(Path.Combine(_desk.Root, "store")));
    }

    private Reading<GivenSettings> Read(string file, (string Name, string Text)[] variables, (string Key, string Text)[] flags) => GivenSettings.Read(
        _desk.Write("worker.json", file.Replace("INV", _desk.Inventory, StringComparison.Ordinal)),
        variables.Select(pair => KeyValuePair.Create(pair.Name, pair.Text)),
        flags.Select(pair => KeyValuePair.Create(SettingTable.All.Single(setting => setting.Key == pair.Key), pair.Text)));
}
