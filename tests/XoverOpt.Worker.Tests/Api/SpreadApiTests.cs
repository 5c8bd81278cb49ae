using System.Net;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Commands;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Api;

public sealed class SpreadApiTests
{
    [Fact]
    public async Task Spread_OfAStoredBuild_IsThatOfTheCommand()
    {
        using Desk desk = SpreadCommandTests.Stated("\"robust\": { \"samples\": 50, \"ears\": false },");
        await using WorkerHere worker = await WorkerHere.Start(desk);
        string id = await worker.Client.Submit(desk.Read("jobs/job.json"));
        await worker.Client.JobEnded(id);
        string builds = $"/api/jobs/{id}/builds";

        JsonObject study = await worker.Client.Get($"{builds}/1/spread?samples=200&seed=3&sideLimitDb=2");
        using HttpResponseMessage limits = await worker.Client.Http.GetAsync($"{builds}/1/limits?samples=200", TestContext.Current.CancellationToken);
        string csv = await limits.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        desk.Write("one.json", (await worker.Client.Builds(id))[0]);
        (_, string command, _) = await Cli.Run(desk.Root, "spread", "one.json", "--job", "jobs/job.json", "--samples", "200", "--seed", "3", "--side-limit", "2", "--json");

        JsonNode here = study["builds"]![0]!, there = JsonNode.Parse(command)!["builds"]![0]!;
        here["name"] = there["name"]!.DeepClone();
        Assert.Equal(there.ToJsonString(), here.ToJsonString());
        Assert.Equal("text/csv", limits.Content.Headers.ContentType!.MediaType);
        Assert.Contains("\nhz,expectedDb,lowDb,highDb,expectedOhm,lowOhm,highOhm\n", csv, StringComparison.Ordinal);
        Assert.Contains("holds up best", (string?)(await worker.Client.Get(builds))["robust"]!["words"], StringComparison.Ordinal);

        foreach ((string path, HttpStatusCode expected) in new[]
        {
            ($"{builds}/1/spread?samples=201", HttpStatusCode.BadRequest),
            ($"{builds}/1/spread?samples=many", HttpStatusCode.BadRequest),
            ($"{builds}/1/spread?sideLimitDb=0", HttpStatusCode.BadRequest),
            ($"{builds}/1/limits?allowanceDb=-1", HttpStatusCode.BadRequest),
            ($"{builds}/99/limits", HttpStatusCode.NotFound),
            ("/api/jobs/none/builds/1/spread", HttpStatusCode.NotFound),
        })
        {
            using HttpResponseMessage refused = await worker.Client.Http.GetAsync(path, TestContext.Current.CancellationToken);
            Assert.Equal(expected, refused.StatusCode);
            Assert.Equal("application/problem+json", refused.Content.Headers.ContentType!.MediaType);
        }
    }
}
