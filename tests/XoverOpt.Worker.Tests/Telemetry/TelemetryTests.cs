using System.Net;
using System.Text.Json.Nodes;
using Hangfire;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Telemetry;

public sealed class TelemetryTests
{
    private static CancellationToken Test => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Metrics_OfAWorker_TellTheQueueRequestsAndRuntime()
    {
        using Desk desk = new();
        await using WorkerHere worker = await WorkerHere.Start(desk);
        string id = await worker.Client.Submit(Desk.Job());
        await worker.Client.JobEnded(id);

        string text = await Until.Some(
            async () => await worker.Client.Http.GetStringAsync("/metrics", Test) is var now && now.Contains("state=\"done\"", StringComparison.Ordinal) ? now : null,
            () => "no gauge of the runs");

        Assert.Matches("xoveropt_runs\\{[^}]*state=\"waiting\"[^}]*\\} 0", text);
        Assert.Matches("xoveropt_runs\\{[^}]*state=\"done\"[^}]*\\} 1", text);
        Assert.Contains("xoveropt_store_disk_free_bytes", text, StringComparison.Ordinal);
        Assert.Contains("http_server_request_duration_seconds_count", text, StringComparison.Ordinal);
        Assert.Contains("http_route=\"/api/jobs\"", text, StringComparison.Ordinal);
        Assert.Contains("dotnet_gc_collections_total", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Worker_CollectorOutOfReach_WorksAllTheSame()
    {
        using Desk desk = new();
        await using WorkerHere worker = await WorkerHere.Start(desk, change: settings => settings with { OtlpUrl = "http://127.0.0.1:9" });

        string id = await worker.Client.Submit(Desk.Job());

        Assert.Equal("done", (string?)(await worker.Client.JobEnded(id))["state"]);
    }

    [Fact]
    public async Task Ready_DiskTooFull_SaysSo()
    {
        using Desk desk = new();
        await using WorkerHere worker = await WorkerHere.Start(desk, change: settings => settings with { FreeDiskMegabytes = 1_000_000_000 });

        using HttpResponseMessage response = await worker.Client.Http.GetAsync("/health/ready", Test);

        Assert.Equal(HttpStatusCode.ServiceUnavailable, response.StatusCode);
        JsonNode fault = JsonNode.Parse(await response.Content.ReadAsStringAsync(Test))!["faults"]!.AsArray().Single(fault => (string?)fault!["pointer"] == "disk")!;
        Assert.Equal("at least 1000000000 MB", (string?)fault["allowed"]);
    }

    [Fact]
    public async Task Ready_QueueWithoutAServer_SaysSo()
    {
        using Desk desk = new();
        await using WorkerHere worker = await WorkerHere.Start(desk);
        JobStorage queue = (JobStorage)worker.Services.GetService(typeof(JobStorage))!;
        await Until.True(() => queue.GetMonitoringApi().Servers().Count == 1, () => "the queue's server does not show itself");
        using (Hangfire.Storage.IStorageConnection connection = queue.GetConnection())
        {
            connection.RemoveServer(queue.GetMonitoringApi().Servers().Single().Name);
        }

        using HttpResponseMessage response = await worker.Client.Http.GetAsync("/health/ready", Test);

        Assert.Equal(HttpStatusCode.ServiceUnavailable, response.StatusCode);
        Assert.Contains("no sign of life", await response.Content.ReadAsStringAsync(Test), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Log_OfARun_NamesTheRunInEveryRecord()
    {
        using Desk desk = new();
        using Cli worker = Cli.Start(desk.Root, [new("Logging__LogLevel__Default", "Information")], "serve", "--urls", "http://127.0.0.1:0", "--store", "store");
        string address = await Until.Some(
            () => Task.FromResult(worker.Error.Split('\n').FirstOrDefault(line => line.StartsWith("Listening at ", StringComparison.Ordinal))),
            () => $"the worker does not listen: {worker.Output}{worker.Error}");
        using WorkerClient client = new(address.Split(' ', ',')[2]);
        string id = await client.Submit(Desk.Job());
        await client.JobEnded(id);

        JsonNode[] records = await Until.Some(
            () => Task.FromResult(worker.Output.Split('\n').Where(line => line.Contains(id, StringComparison.Ordinal)).ToArray() is { Length: >= 2 } lines
                ? lines.Select(line => JsonNode.Parse(line)!).ToArray()
                : null),
            () => $"no records of the run: {worker.Output}");

        Assert.All(records, record => Assert.Equal(id, (string?)record["State"]?["RunId"]));
        Assert.All(records, record => Assert.Contains(record["Scopes"]!.AsArray(), scope => (string?)scope!["RunId"] == id));
    }

    [Fact]
    public async Task Queue_Pages_AreThereOnlyWhenSwitchedOn()
    {
        using Desk desk = new();
        await using WorkerHere off = await WorkerHere.Start(desk, "off");
        await using WorkerHere on = await WorkerHere.Start(desk, "on", settings => settings with { Dashboard = true });

        using HttpResponseMessage none = await off.Client.Http.GetAsync("/queue", Test);
        using HttpResponseMessage there = await on.Client.Http.GetAsync("/queue", Test);

        Assert.Equal((HttpStatusCode.NotFound, HttpStatusCode.OK), (none.StatusCode, there.StatusCode));
    }
}
