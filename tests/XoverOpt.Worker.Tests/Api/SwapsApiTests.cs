using System.Net;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Api;

/// <summary>Other receivers in the place of one that is out, by API and command, after one small job.</summary>
public sealed class SwapsApiTests : IAsyncLifetime
{
    private readonly Desk _desk = new();
    private WorkerHere _worker = null!;
    private string _job = "";
    private JsonObject _build = [];

    public async ValueTask InitializeAsync()
    {
        _worker = await WorkerHere.Start(_desk);
        _job = await _worker.Client.Submit(Desk.Job());
        await _worker.Client.JobEnded(_job);
        _build = await _worker.Client.Get($"/api/jobs/{_job}/builds/1");
    }

    public async ValueTask DisposeAsync()
    {
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    private string High => (string)_build["ways"]![1]!["receiver"]!;

    private string Other => High == "HI-1" ? "HI-2" : "HI-1";

    [Fact]
    public async Task Swaps_OfAStoredBuild_TryTheNearestOfTodaysDrawer()
    {
        // A twin of the one that is out came in after the run.
        JsonNode twin = JsonNode.Parse(_desk.Read("driverlib/stock.json"))!.AsArray().First(item => (string?)item!["partNumber"] == High)!.DeepClone();
        twin["partNumber"] = "TWIN";
        _desk.Write("driverlib/more.json", twin.ToJsonString());

        (HttpStatusCode status, JsonObject today) = await Post($$"""{ "receiver": "{{High}}", "nearest": 2 }""");
        (_, JsonObject then) = await Post($$"""{ "receiver": "{{High}}", "nearest": 1, "drawer": "job" }""");

        Assert.Equal(HttpStatusCode.OK, status);
        Assert.Equal((High, 1, (double)_build["cost"]!["total"]!, 3), ((string?)today["receiver"], (int)today["pieces"]!, (double)today["cost"]!, (int)today["inReach"]!));
        Assert.Equal(["high"], today["ways"]!.AsArray().Select(way => (string?)way));
        JsonNode[] swaps = [.. today["swaps"]!.AsArray().Select(swap => swap!)];
        JsonNode same = swaps.Single(swap => (string?)swap["receiver"] == "TWIN");
        Assert.Equal((1, 0.0, false), ((int)same["nearness"]!, Math.Round((double)same["distanceDb"]!, 6), (bool)same["listed"]!));
        Assert.Equal((double)today["cost"]!, (double)same["costAsItIs"]!);
        Assert.True((double)same["cost"]! <= (double)today["cost"]!);
        Assert.Equal([1, 2], swaps.Select(swap => (int)swap["rank"]!));
        Assert.Equal(("build/1", "TWIN"), ((string?)same["build"]!["format"], (string?)same["build"]!["ways"]![1]!["receiver"]));
        Assert.Null(same["build"]!["response"]);
        Assert.Contains("injures hearing", (string)today["caution"]!, StringComparison.Ordinal);
        Assert.Equal(2, (int)then["inReach"]!);
    }

    [Fact]
    public async Task Swaps_WrongQuestions_AreRefusedWithAllThatIsWrong()
    {
        (HttpStatusCode keys, JsonObject many) = await Post("""{ "nearest": 0, "drawer": "mine", "recever": "x" }""");
        (HttpStatusCode part, JsonObject unknown) = await Post("""{ "receiver": "LO-2" }""");
        using HttpResponseMessage form = await _worker.Client.Http.PostAsync($"/api/jobs/{_job}/builds/1/swaps", new StringContent("receiver=LO-1"), TestContext.Current.CancellationToken);
        using HttpResponseMessage none = await _worker.Client.Http.PostAsync($"/api/jobs/{_job}/builds/99/swaps", WorkerClient.Json("{}"), TestContext.Current.CancellationToken);

        Assert.Equal((HttpStatusCode.BadRequest, HttpStatusCode.BadRequest), (keys, part));
        Assert.Equal(["", "/drawer", "/nearest", "/recever"], many["faults"]!.AsArray().Select(fault => (string?)fault!["pointer"]).Order(StringComparer.Ordinal));
        Assert.Equal(("/receiver", "Did you mean \"LO-1\"?"), ((string?)unknown["faults"]![0]!["pointer"], (string?)unknown["faults"]![0]!["hint"]));
        Assert.Equal((HttpStatusCode.UnsupportedMediaType, HttpStatusCode.NotFound), (form.StatusCode, none.StatusCode));
    }

    [Fact]
    public async Task Swap_AsACommand_WritesBuildsThatEvaluateAccepts()
    {
        _desk.Write("build.json", _build.ToJsonString());
        _desk.Write("jobs/job.json", Desk.Job());

        (int exit, string output, string error) = await Cli.Run(_desk.Root, "swap", "build.json", "--job", "jobs/job.json", "--receiver", High, "--nearest", "1", "--out", "swaps");
        (int json, string text, _) = await Cli.Run(_desk.Root, "swap", "build.json", "--job", "jobs/job.json", "--receiver", High, "--nearest", "1", "--json");
        string file = Directory.EnumerateFiles(Path.Combine(_desk.Root, "swaps")).Single();
        (int judged, string figures, string fault) = await Cli.Run(_desk.Root, "evaluate", file, "--job", "jobs/job.json", "--json");
        (int wrong, _, string refusal) = await Cli.Run(_desk.Root, "swap", "build.json", "--job", "jobs/job.json", "--receiver", "HI-9");

        Assert.True(exit == 0 && json == 0 && judged == 0, error + fault);
        JsonNode swap = JsonNode.Parse(text)!["swaps"]![0]!;
        string receiver = (string)swap["receiver"]!;
        Assert.Equal(Path.GetFileName(file), $"01-{receiver}.json");
        Assert.Contains(receiver, output, StringComparison.Ordinal);
        Assert.All(output.Split('\n'), line => Assert.True(line.Length <= 110, line));
        Assert.Equal((double)swap["cost"]!, (double)JsonNode.Parse(figures)!["cost"]!["total"]!);
        Assert.Equal(receiver, (string?)JsonNode.Parse(figures)!["ways"]![1]!["receiver"]);
        Assert.Contains(receiver, new[] { Other, "LO-1" });
        Assert.Equal(1, wrong);
        Assert.Contains($"--receiver: found \"HI-9\", which the build does not use; allowed: LO-1, {High}. Did you mean \"{High}\"?", refusal, StringComparison.Ordinal);
    }

    private async Task<(HttpStatusCode Status, JsonObject Answer)> Post(string body)
    {
        using HttpResponseMessage response = await _worker.Client.Http.PostAsync($"/api/jobs/{_job}/builds/1/swaps", WorkerClient.Json(body), TestContext.Current.CancellationToken);
        return (response.StatusCode, JsonNode.Parse(await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!.AsObject());
    }
}
