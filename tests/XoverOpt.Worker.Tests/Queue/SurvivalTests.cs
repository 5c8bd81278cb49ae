using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Queue;

/// <summary>A run is neither lost nor changed by whatever happens to the worker.</summary>
public sealed partial class SurvivalTests
{
    private const long Long = 60_000;

    [Fact]
    public async Task Worker_KilledTwiceAmidASearch_EndsWithTheVeryBuildsOfAnUninterruptedOne()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job(Long));
        string? id = null;
        long checkpoints = 0;
        for (int killed = 0; killed < 2; killed++)
        {
            (Cli worker, WorkerClient client) = await Serve(desk);
            using (worker)
            using (client)
            {
                id ??= await client.Submit(Desk.Job(Long));
                JsonObject job = await client.JobWhen(id, job => (long)job["checkpoints"]! > checkpoints);
                Assert.Equal("running", (string?)job["state"]);
                checkpoints = (long)job["checkpoints"]!;
                await worker.Kill();
            }
        }

        (Cli last, WorkerClient final) = await Serve(desk);
        using (last)
        using (final)
        {
            JsonObject job = await final.JobEnded(id!);
            Assert.Equal("done", (string?)job["state"]);
            string[] survived = await final.Builds(id!);

            (int exit, _, string error) = await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");
            Assert.True(exit == 0, error);
            Assert.Equal(desk.Builds("o"), survived);
            Assert.Equal((long)JsonNode.Parse(desk.Read("o/result.json"))!["evaluations"]!, (long)job["progress"]!["evaluations"]!);
        }
    }

    [Fact]
    public async Task Worker_GoneDownInGoodOrder_GoesOnWhereItLeft()
    {
        using Desk desk = new();
        string id;
        long left;
        await using (WorkerHere worker = await WorkerHere.Start(desk))
        {
            id = await worker.Client.Submit(Desk.Job(Long));
            left = (long)(await worker.Client.JobWhen(id, job => (long)job["checkpoints"]! >= 1))["checkpoints"]!;
        }

        await using WorkerHere next = await WorkerHere.Start(desk);
        JsonObject ended = await next.Client.JobEnded(id);
        string undisturbed = await next.Client.Submit(Desk.Job(Long));
        await next.Client.JobEnded(undisturbed);

        Assert.True((long)ended["checkpoints"]! > left, ended.ToJsonString());
        Assert.Equal(await next.Client.Builds(undisturbed), await next.Client.Builds(id));
    }

    [Fact]
    public async Task Serve_StoreInUse_FailsInOneLine()
    {
        using Desk desk = new();
        await using WorkerHere holder = await WorkerHere.Start(desk);

        (int exit, _, string error) = await Cli.Run(desk.Root, "serve", "--urls", "http://127.0.0.1:0", "--store", "store");

        Assert.Equal(2, exit);
        Assert.Contains("held by another worker", error, StringComparison.Ordinal);
        Assert.Single(error.TrimEnd('\n').Split('\n'));
    }

    private static async Task<(Cli Worker, WorkerClient Client)> Serve(Desk desk)
    {
        Cli worker = Cli.Start(
            desk.Root, "serve", "--urls", "http://127.0.0.1:0", "--store", "store", "--inventory", "driverlib", "--checkpoint", "0.05");
        string address = await Until.Some(
            () => Task.FromResult(Listening().Match(worker.Error) is { Success: true } match ? match.Groups[1].Value : null),
            () => $"the worker does not listen: {worker.Output}{worker.Error}");
        return (worker, new WorkerClient(address));
    }

    [GeneratedRegex("Listening at (http://127\\.0\\.0\\.1:[0-9]+)")]
    private static partial Regex Listening();
}
