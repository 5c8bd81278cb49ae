using System.IO.Compression;
using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Tests.Export;

public sealed class RunArchiveTests : IAsyncLifetime
{
    private readonly Desk _desk = new();
    private WorkerHere _worker = null!;

    private static CancellationToken Test => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => _worker = await WorkerHere.Start(_desk);

    public async ValueTask DisposeAsync()
    {
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    [Fact]
    public async Task Export_OfADoneRun_HoldsWhatSolveWritesAndAJobThatReadsByItself()
    {
        _desk.Write("jobs/job.json", Desk.Job());
        (int exit, _, string error) = await Cli.Run(_desk.Root, "solve", "jobs/job.json", "--out", "o");
        Assert.True(exit == 0, error);
        string id = await _worker.Client.Submit(Desk.Job());
        await _worker.Client.JobEnded(id);

        byte[] archive = await _worker.Client.Http.GetByteArrayAsync($"/api/jobs/{id}/export", Test);
        byte[] again = await _worker.Client.Http.GetByteArrayAsync($"/api/jobs/{id}/export", Test);

        Assert.Equal(archive, again);
        string folder = Path.Combine(_desk.Root, "unpacked");
        ZipFile.ExtractToDirectory(new MemoryStream(archive), folder);
        folder = Path.Combine(folder, "run-" + id);
        Assert.Equal(_desk.Read("o/report.txt"), File.ReadAllText(Path.Combine(folder, "report.txt")));
        Assert.Equal(_desk.Read("o/result.json"), File.ReadAllText(Path.Combine(folder, "result.json")));
        Assert.Equal(
            _desk.Builds("o"),
            Directory.EnumerateFiles(Path.Combine(folder, "builds")).Order(StringComparer.Ordinal).Select(File.ReadAllText));

        JobDocument job = JobFile.Read(Path.Combine(folder, "job.json")).Value!;
        JsonObject run = await _worker.Client.Get($"/api/jobs/{id}");
        Assert.Equal(((string?)run["jobHash"], (string?)run["inventoryHash"]), (job.Problem.JobHash, job.Problem.InventoryHash));
        string about = File.ReadAllText(Path.Combine(folder, "README.txt"), Encoding.UTF8);
        Assert.Contains(id, about, StringComparison.Ordinal);
        Assert.Contains("injures hearing", about, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Export_OfARunningOrUnknownOrFruitlessRun_SaysSo()
    {
        string running = await _worker.Client.Submit(Desk.Job(Desk.Endless));
        string fruitless = await _worker.Client.Submit(Desk.Job(limits: "{ \"maxPartsCost\": 3 }"));
        await _worker.Client.JobEnded(fruitless);

        using HttpResponseMessage early = await _worker.Client.Http.GetAsync($"/api/jobs/{running}/export", Test);
        using HttpResponseMessage none = await _worker.Client.Http.GetAsync("/api/jobs/none/export", Test);
        using ZipArchive archive = new(await _worker.Client.Http.GetStreamAsync($"/api/jobs/{fruitless}/export", Test));

        Assert.Equal((HttpStatusCode.Conflict, HttpStatusCode.NotFound), (early.StatusCode, none.StatusCode));
        Assert.Equal(
            ["README.txt", "inventory.json", "job.json", "report.txt", "result.json"],
            archive.Entries.Select(entry => entry.Name).Order(StringComparer.Ordinal));
        using StreamReader about = new(archive.Entries.Single(entry => entry.Name == "README.txt").Open());
        Assert.Contains("limits.maxPartsCost", await about.ReadToEndAsync(Test), StringComparison.Ordinal);
    }
}
