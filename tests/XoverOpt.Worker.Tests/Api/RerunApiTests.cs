using System.Net;
using System.Net.Http.Headers;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Api;

/// <summary>An engineer's way: a run, a drawer that changes, a rerun, and what changed.</summary>
public sealed class RerunApiTests : IAsyncLifetime
{
    private readonly Desk _desk = new();
    private WorkerHere _worker = null!;

    private WorkerClient Client => _worker.Client;

    private string Url => Client.Http.BaseAddress!.ToString();

    private static CancellationToken Test => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => _worker = await WorkerHere.Start(_desk);

    public async ValueTask DisposeAsync()
    {
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    [Fact]
    public async Task Rerun_AfterTheDrawerChanged_BeginsFromItsBuildsAndTheChangesSayWhatBecameOfThem()
    {
        string old = await Client.Submit(Desk.Job());
        await Client.JobEnded(old);
        ReplaceReceiver("HI-1", "HI-3");

        string now = await Rerun(old, "");
        Assert.Equal("done", (string?)(await Client.JobEnded(now))["state"]);

        Assert.All(await Client.Builds(now), build => Assert.DoesNotContain("\"HI-1\"", build, StringComparison.Ordinal));
        JsonObject changes = await Client.Get($"/api/jobs/{now}/changes");
        Assert.Equal((old, now), ((string?)changes["old"]!["label"], (string?)changes["new"]!["label"]));
        Assert.Empty(changes["job"]!.AsArray());
        Assert.Equal(["HI-1 removed", "HI-3 added"], changes["drawer"]!.AsArray().Select(change => $"{change!["part"]} {change["kind"]}"));
        JsonNode[] gone = [.. changes["builds"]!.AsArray().Where(build => (string?)build!["fate"] == "died" && ((string?)build["receivers"])!.Contains("HI-1", StringComparison.Ordinal)).Select(build => build!)];
        Assert.NotEmpty(gone);
        Assert.All(gone, build => Assert.Equal("HI-1", (string?)Assert.Single(build["why"]!.AsArray())!["part"]));

        using HttpRequestMessage request = new(HttpMethod.Get, $"/api/jobs/{now}/changes?from={old}");
        request.Headers.Accept.Add(new MediaTypeWithQualityHeaderValue("text/plain"));
        using HttpResponseMessage response = await Client.Http.SendAsync(request, Test);
        string text = await response.Content.ReadAsStringAsync(Test);
        Assert.Equal("text/plain", response.Content.Headers.ContentType!.MediaType);
        Assert.Contains("The receiver HI-1 is no longer in the drawer.", text, StringComparison.Ordinal);
        Assert.Contains("injures hearing", text, StringComparison.Ordinal);

        // The command says the same, and the old run can still be had again from what it kept.
        (int exit, string output, string error) = await Cli.Run(_desk.Root, "changes", old, now, "--url", Url);
        Assert.True(exit == 0, error);
        Assert.Equal(text.TrimEnd(), output.TrimEnd());
        foreach (string id in new[] { old, now })
        {
            (exit, output, error) = await Cli.Run(_desk.Root, "reproduce", id, "--url", Url);
            Assert.True(exit == 0, error);
            Assert.Contains("byte for byte", output, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Rerun_OfTheSame_IsNoWorseAndReadsTheDrawerOfBeforeWhereAsked()
    {
        string old = await Client.Submit(Desk.Job());
        await Client.JobEnded(old);
        ReplaceReceiver("HI-1", "HI-3");

        string now = await Rerun(old, """{ "inventory": "before", "evaluations": 3000 }""");
        await Client.JobEnded(now);

        double before = Cost((await Client.Builds(old))[0]), after = Cost((await Client.Builds(now))[0]);
        Assert.True(after <= before, $"{after} above {before}");
        Assert.Equal((string?)(await Client.Get($"/api/jobs/{old}"))["inventoryHash"], (string?)(await Client.Get($"/api/jobs/{now}"))["inventoryHash"]);
        Assert.Equal("effort evaluations is 3000 instead of 9000", Words((await Client.Get($"/api/jobs/{now}/changes"))["job"]!));
    }

    [Fact]
    public async Task Rerun_WithAPatchOrAnotherJob_RunsThat()
    {
        string old = await Client.Submit(Desk.Job());
        await Client.JobEnded(old);

        string patched = await Rerun(old, """{ "patch": { "name": "Louder", "limits": { "maxReceivers": 2 }, "schedule": null } }""");
        string other = await Rerun(old, $$"""{ "job": {{Desk.Job(limits: "{ \"maxReceivers\": 2 }")}} }""");
        foreach (string id in new[] { patched, other })
        {
            await Client.JobEnded(id);
            Assert.All(await Client.Builds(id), build => Assert.Equal(2, (int)JsonNode.Parse(build)!["figures"]!["receivers"]!));
            JsonObject changes = await Client.Get($"/api/jobs/{id}/changes");
            Assert.Equal(old, (string?)changes["old"]!["label"]);
            Assert.Contains("limits maxReceivers is now 2; nothing was said before", changes["job"]!.AsArray().Select(JobWords));
        }

        Assert.Equal("Louder", (string?)(await Client.Get($"/api/jobs/{patched}"))["name"]);
    }

    [Fact]
    public async Task Rerun_SentTwiceWithOneKey_IsOneRun()
    {
        string old = await Client.Submit(Desk.Job());
        await Client.JobEnded(old);

        Assert.Equal(await Rerun(old, "{}", "mine"), await Rerun(old, "{}", "mine"));
    }

    [Theory]
    [InlineData("""{ "patch": {}, "job": {} }""", "/patch", "either")]
    [InlineData("""{ "pach": {} }""", "/pach", "Did you mean \"patch\"?")]
    [InlineData("""{ "evaluations": 0 }""", "/evaluations", "a whole number from 1")]
    [InlineData("""{ "patch": { "limits": { "sets": 0 } } }""", "/limits/sets", "a whole number from 1")]
    [InlineData("""{ "patch": { "limits": { "sets": 1, "sets": 2 } } }""", "", "each key once")]
    [InlineData("""{ "inventory": "nowhere" }""", "/inventory", "a folder or file that exists")]
    [InlineData("""[]""", "", "an object")]
    public async Task Rerun_WrongRequest_IsRefusedInItsPlace(string request, string pointer, string allowed)
    {
        string old = await Client.Submit(Desk.Job(2000));
        await Client.JobEnded(old);

        using HttpResponseMessage response = await Client.Http.PostAsync($"/api/jobs/{old}/rerun", WorkerClient.Json(request), Test);

        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        JsonNode fault = JsonNode.Parse(await response.Content.ReadAsStringAsync(Test))!["faults"]!.AsArray()[0]!;
        Assert.Equal(pointer, (string?)fault["pointer"]);
        Assert.Contains(allowed, $"{fault["allowed"]} {fault["hint"]}", StringComparison.Ordinal);
    }

    [Fact]
    public async Task RerunAndChanges_OfNoSuchRun_AreNotFound()
    {
        string run = await Client.Submit(Desk.Job(2000));
        await Client.JobEnded(run);

        using HttpResponseMessage rerun = await Client.Http.PostAsync("/api/jobs/none/rerun", WorkerClient.Json("{}"), Test);
        using HttpResponseMessage none = await Client.Http.GetAsync($"/api/jobs/none/changes?from={run}", Test);
        using HttpResponseMessage other = await Client.Http.GetAsync($"/api/jobs/{run}/changes?from=none", Test);
        using HttpResponseMessage nothing = await Client.Http.GetAsync($"/api/jobs/{run}/changes", Test);

        Assert.Equal(
            (HttpStatusCode.NotFound, HttpStatusCode.NotFound, HttpStatusCode.NotFound, HttpStatusCode.BadRequest),
            (rerun.StatusCode, none.StatusCode, other.StatusCode, nothing.StatusCode));
    }

    [Fact]
    public async Task Job_FromABuildByRunAndRank_KeepsItsOtherWay()
    {
        string old = await Client.Submit(Desk.Job());
        await Client.JobEnded(old);
        string high = JsonNode.Parse((await Client.Builds(old))[1])!["ways"]![1]!.ToJsonString();

        string variant = await Client.Submit(Desk.Job(more: $$""" "from": { "build": "{{old}}/2", "free": ["low"] }, """));
        await Client.JobEnded(variant);

        Assert.All(await Client.Builds(variant), build => Assert.Equal(high, JsonNode.Parse(build)!["ways"]![1]!.ToJsonString()));
        JsonNode shared = (await Client.Get($"/api/jobs/{variant}/changes?from={old}"))["shared"]!;
        Assert.Contains("high", shared["ways"]!.AsArray().Select(way => (string?)way));

        using HttpResponseMessage none = await Client.Http.PostAsync("/api/jobs", WorkerClient.Json(Desk.Job(more: $$""" "from": { "build": "{{old}}/99", "free": ["low"] }, """)), Test);
        Assert.Contains("/from/build", await none.Content.ReadAsStringAsync(Test), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Commands_RerunAndWatch_GoOnFromARun()
    {
        string old = await Client.Submit(Desk.Job());
        await Client.JobEnded(old);
        _desk.Write("patch.json", """{ "limits": { "maxReceivers": 2 } }""");

        (int exit, string output, string error) = await Cli.Run(_desk.Root, "rerun", old, "--patch", "patch.json", "--inventory", "driverlib", "--evaluations", "4000", "--watch", "--url", Url);

        Assert.True(exit == 0, error);
        string now = output.Split('\n')[0];
        Assert.Equal(["effort", "limits"], (await Client.Get($"/api/jobs/{now}/changes"))["job"]!.AsArray().Select(change => (string)change!["area"]!));
    }

    private async Task<string> Rerun(string id, string request, string? key = null)
    {
        using HttpRequestMessage message = new(HttpMethod.Post, $"/api/jobs/{id}/rerun") { Content = WorkerClient.Json(request) };
        if (key is not null)
        {
            message.Headers.Add("Idempotency-Key", key);
        }

        using HttpResponseMessage response = await Client.Http.SendAsync(message, Test);
        string body = await response.Content.ReadAsStringAsync(Test);
        Assert.True(response.StatusCode == HttpStatusCode.Accepted, body);
        return (string)JsonNode.Parse(body)!["id"]!;
    }

    private void ReplaceReceiver(string old, string now) => _desk.Write(
        "driverlib/stock.json", _desk.Read("driverlib/stock.json").Replace(old, now, StringComparison.Ordinal));

    private static double Cost(string build) => (double)JsonNode.Parse(build)!["cost"]!["total"]!;

    private static string Words(JsonNode job) => JobWords(Assert.Single(job.AsArray()));

    private static string JobWords(JsonNode? change) => (string)change!["words"]!;
}
