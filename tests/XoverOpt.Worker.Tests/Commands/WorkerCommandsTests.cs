using System.IO.Compression;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Commands;

/// <summary>The commands that speak to a running worker, as a shell runs them.</summary>
public sealed class WorkerCommandsTests : IAsyncLifetime
{
    private readonly Desk _desk = new();
    private WorkerHere _worker = null!;

    private string Url => _worker.Client.Http.BaseAddress!.ToString();

    public async ValueTask InitializeAsync() => _worker = await WorkerHere.Start(_desk);

    public async ValueTask DisposeAsync()
    {
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    [Fact]
    public async Task Submit_JobWithFilesOfItsOwn_RunsThoughTheWorkerHasNoneOfThem()
    {
        // Drawer and target lie in a folder that the worker's inventory root knows nothing of.
        _desk.Write("elsewhere/drawer/stock.json", _desk.Read("driverlib/stock.json").Replace("LO-1", "LO-9", StringComparison.Ordinal));
        _desk.Write("elsewhere/curve.csv", "40,4\n160,0\n2800,6\n12000,0\n");
        _desk.Write("elsewhere/job.json", Desk.Job()
            .Replace("../driverlib", "drawer", StringComparison.Ordinal)
            .Replace("\"points\": [ { \"hz\": 40, \"db\": 4 }, { \"hz\": 160, \"db\": 0 }, { \"hz\": 2800, \"db\": 6 }, { \"hz\": 12000, \"db\": 0 } ]", "\"file\": \"curve.csv\"", StringComparison.Ordinal));

        (int exit, string output, string error) = await Cli.Run(_desk.Root, "submit", "elsewhere/job.json", "--url", Url, "--watch");

        Assert.True(exit == 0, error);
        string[] lines = output.TrimEnd().Split('\n');
        string id = lines[0];
        Assert.StartsWith("done", lines[1], StringComparison.Ordinal);
        Assert.Contains("LO-9", (await _worker.Client.Builds(id))[0], StringComparison.Ordinal);

        (exit, output, error) = await Cli.Run(_desk.Root, "list", "--state", "done", "--url", Url);
        Assert.True(exit == 0, error);
        Assert.Contains(id, output, StringComparison.Ordinal);

        (exit, _, error) = await Cli.Run(_desk.Root, "export", id, "--url", Url, "--out", "have/run.zip");
        Assert.True(exit == 0, error);
        using ZipArchive archive = ZipFile.OpenRead(Path.Combine(_desk.Root, "have/run.zip"));
        Assert.Contains(archive.Entries, entry => entry.Name == "report.txt");
    }

    [Fact]
    public async Task Stop_RunningRun_EndsItAndWatchSaysSo()
    {
        string id = await _worker.Client.Submit(Desk.Job(Desk.Endless));
        await _worker.Client.JobWhen(id, job => job["progress"]?["best"] is not null);
        using Cli watch = Cli.Start(_desk.Root, "watch", id, "--url", Url);
        await Until.True(() => watch.Error.Contains("evaluations/s", StringComparison.Ordinal), () => watch.Error);

        (int exit, string output, string error) = await Cli.Run(_desk.Root, "stop", id, "--url", Url);

        Assert.True(exit == 0, error);
        Assert.Contains(id, output, StringComparison.Ordinal);
        Assert.Equal(130, await watch.Exit());
        Assert.StartsWith("stopped", watch.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Watch_Interrupted_LeavesTheRunGoing()
    {
        string id = await _worker.Client.Submit(Desk.Job(Desk.Endless));
        using Cli watch = Cli.Start(_desk.Root, "watch", id, "--url", Url);
        await Until.True(() => watch.Error.Length > 0, () => "watch says nothing");

        watch.Interrupt();

        Assert.Equal(130, await watch.Exit());
        Assert.Contains("goes on", watch.Error, StringComparison.Ordinal);
        Assert.Contains((string)(await _worker.Client.Get($"/api/jobs/{id}"))["state"]!, new[] { "waiting", "running" });
    }

    [Fact]
    public async Task Command_RefusedByTheWorker_TellsWhyInOneLine()
    {
        foreach (string[] args in new string[][] { ["watch", "none"], ["stop", "none"], ["export", "none"] })
        {
            (int exit, _, string error) = await Cli.Run(_desk.Root, [.. args, "--url", Url]);

            Assert.Equal((1, "xoveropt: There is no job 'none'.\n"), (exit, error));
        }
    }

    [Fact]
    public async Task Submit_WrongJob_ListsTheFaultsOfTheFileAndAsksNobody()
    {
        _desk.Write("jobs/bad.json", Desk.Job().Replace("[40, 12000]", "[40, -1]", StringComparison.Ordinal));

        (int exit, _, string error) = await Cli.Run(_desk.Root, "submit", "jobs/bad.json", "--url", "http://127.0.0.1:9");

        Assert.Equal(1, exit);
        Assert.Contains("jobs/bad.json at /target/bandHz/1", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Command_NoWorkerThere_SaysHowToStartOne()
    {
        _desk.Write("jobs/job.json", Desk.Job());
        foreach (string[] args in new string[][] { ["submit", "jobs/job.json"], ["list"], ["stop", "x"], ["pause"], ["export", "x"] })
        {
            // Port 9, the discard service (RFC 863), which nobody runs.
            (int exit, string output, string error) = await Cli.Run(_desk.Root, [.. args, "--url", "http://127.0.0.1:9"]);

            Assert.Equal((2, ""), (exit, output));
            Assert.StartsWith("xoveropt: no worker answers at http://127.0.0.1:9 (", error, StringComparison.Ordinal);
            Assert.Contains("Start one with serve", error, StringComparison.Ordinal);
            Assert.Single(error.TrimEnd('\n').Split('\n'));
        }
    }

    [Fact]
    public async Task Solve_JobWithASchedule_BeginsNowAndSaysSo()
    {
        _desk.Write("jobs/job.json", Desk.Job(2000, more: "\"schedule\": { \"notBefore\": \"2099-01-01T00:00:00Z\" },"));

        (int exit, _, string error) = await Cli.Run(_desk.Root, "solve", "jobs/job.json", "--out", "o");

        Assert.True(exit == 0, error);
        Assert.Contains("jobs/job.json at /schedule: not heeded here", error, StringComparison.Ordinal);
    }
}
