using System.Net;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Api;

public sealed class LevelsApiTests : IAsyncLifetime
{
    private readonly Desk _desk = new();
    private WorkerHere _worker = null!;
    private string _job = "";

    public async ValueTask InitializeAsync()
    {
        _worker = await WorkerHere.Start(_desk);
        _job = await _worker.Client.Submit(Desk.Job());
        await _worker.Client.JobEnded(_job);
    }

    public async ValueTask DisposeAsync()
    {
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    private string Path(string what, int rank = 1) => $"/api/jobs/{_job}/builds/{rank}/{what}";

    [Fact]
    public async Task Analyses_OfAStoredBuild_AnswerWithCautionAndNotes()
    {
        foreach (string what in new[] { "levels", "sources", "ears" })
        {
            JsonObject answer = await _worker.Client.Get(Path(what));
            Assert.Equal("build 1", (string?)answer["build"]);
            Assert.Contains("injures hearing", (string)answer["caution"]!, StringComparison.Ordinal);
            Assert.NotEmpty(answer["notes"]!.AsArray());
        }
    }

    [Fact]
    public async Task Levels_WithAChain_FollowTheQuery()
    {
        JsonNode usual = (await _worker.Client.Get(Path("levels")))["result"]!, changed = (await _worker.Client.Get(Path("levels?consoleMaxDbu=0&packMaxVolt=0.5&field=free")))["result"]!;

        Assert.Equal("transmitter", (string?)usual["room"]!["electrical"]!["stage"]);
        Assert.Equal(("console output", 0.0), ((string?)changed["room"]!["electrical"]!["stage"], (double)changed["room"]!["electrical"]!["deskDbu"]!));
        Assert.Equal(("diffuse", "free"), ((string?)usual["exposures"]![0]!["field"], (string?)changed["exposures"]![0]!["field"]));
        Assert.Equal(20 * Math.Log10(2), (double)changed["room"]!["neededDbu"]! - (double)usual["room"]!["neededDbu"]!, 1e-9);
    }

    [Fact]
    public async Task Sources_AtStatedOhms_GiveAChangeEach()
    {
        JsonNode result = (await _worker.Client.Get(Path("sources?ohm=1,10&ohm=120")))["result"]!;

        Assert.Equal([1.0, 10, 120], result["changes"]!.AsArray().Select(change => (double)change!["ohm"]!));
        Assert.Equal([10.0, 120], result["pads"]!.AsArray().Select(pad => (double)pad!["upToOhm"]!));
    }

    [Theory]
    [InlineData("levels?packOhm=a&wantedDb=500&loud=1&field=near", "packOhm wantedDb loud field")]
    [InlineData("sources?ohm=-1&withinDb=1&withinDb=2", "ohm withinDb")]
    [InlineData("ears?leakMm=9", "leakMm")]
    public async Task Query_WithFaults_IsRefusedWithAll(string query, string pointers)
    {
        using HttpResponseMessage response = await _worker.Client.Http.GetAsync(Path(query), TestContext.Current.CancellationToken);
        JsonNode problem = JsonNode.Parse(await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!;

        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        Assert.Equal(pointers.Split(' ').Order(StringComparer.Ordinal), problem["faults"]!.AsArray().Select(fault => (string)fault!["pointer"]!).Order(StringComparer.Ordinal));
    }

    [Fact]
    public async Task Build_ThatIsNotThere_IsNotFound()
    {
        foreach (string path in new[] { Path("ears", 99), "/api/jobs/none/builds/1/levels" })
        {
            using HttpResponseMessage response = await _worker.Client.Http.GetAsync(path, TestContext.Current.CancellationToken);
            Assert.Equal(HttpStatusCode.NotFound, response.StatusCode);
        }
    }
}
