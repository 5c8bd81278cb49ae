using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Api;

public sealed class PurchasingApiTests : IAsyncLifetime
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

    [Fact]
    public async Task Parts_OfAStoredBuild_AreThoseOfTheDrawerAsItStandsNow()
    {
        JsonNode low = Line(await Parts("sets=3&by=2031-12-15&orderOn=2031-03-03"), "LO-1");
        (HttpStatusCode status, _) = await Send(HttpMethod.Post, "/api/stock/import?by=Anna", "part,stock,lead time days\nLO-1,1,10\n", "text/csv");
        JsonObject now = await Parts("sets=3&by=2031-12-15&orderOn=2031-03-03");
        JsonNode stored = Line(await Parts("sets=3&drawer=stored"), "LO-1");

        Assert.Equal(HttpStatusCode.OK, status);
        Assert.Equal(120, (int)low["stock"]!);
        Assert.Equal((1, (string?)"2031-03-13"), ((int)Line(now, "LO-1")["stock"]!, (string?)Line(now, "LO-1")["arrives"]));
        Assert.Equal(120, (int)stored["stock"]!);
    }

    [Fact]
    public async Task Parts_AsCsv_ComeByFormatOrAcceptInEitherDialect()
    {
        using HttpResponseMessage comma = await _worker.Client.Http.GetAsync($"/api/jobs/{_job}/builds/1/parts?sets=25&format=csv&decimal=comma", TestContext.Current.CancellationToken);
        using HttpRequestMessage asked = new(HttpMethod.Get, $"/api/jobs/{_job}/builds/1/parts?sets=25");
        asked.Headers.Accept.Add(new("text/csv"));
        using HttpResponseMessage point = await _worker.Client.Http.SendAsync(asked, TestContext.Current.CancellationToken);

        Assert.Equal(("text/csv", "text/csv"), (comma.Content.Headers.ContentType!.MediaType, point.Content.Headers.ContentType!.MediaType));
        Assert.EndsWith("25-sets.csv", comma.Content.Headers.ContentDisposition!.FileName!.Trim('"'), StringComparison.Ordinal);
        Assert.Contains("kind;part;", await comma.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.Contains("kind,part,", await point.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Stock_OutAndIn_IsLeftAsItWasByADryRunAndChangedByAnImport()
    {
        string sheet = await _worker.Client.Http.GetStringAsync("/api/stock?format=csv&decimal=comma", TestContext.Current.CancellationToken);
        string changed = sheet.Replace("LO-1;receiver;Ostrel (invented);120;", "LO-1;receiver;Ostrel (invented);77;", StringComparison.Ordinal);

        (_, JsonNode same) = await Send(HttpMethod.Post, "/api/stock/import?by=Anna", sheet, "text/csv");
        (_, JsonNode dry) = await Send(HttpMethod.Post, "/api/stock/import?by=Anna&dryRun=true", changed, "text/csv");
        long before = (long)(await _worker.Client.Get("/api/stock"))["revision"]!;
        (_, JsonNode written) = await Send(HttpMethod.Post, "/api/stock/import?by=Anna", changed, "text/csv");
        JsonObject stock = await _worker.Client.Get("/api/stock");
        JsonNode history = JsonNode.Parse(await _worker.Client.Http.GetStringAsync("/api/stock/history?part=LO-1", TestContext.Current.CancellationToken))!;

        Assert.Empty(same["changes"]!.AsArray());
        Assert.Equal((false, true, 0L), ((bool)dry["written"]!, (bool)written["written"]!, before));
        Assert.Equal("""{"part":"LO-1","field":"stock","from":"120","to":"77"}""", dry["changes"]![0]!.ToJsonString());
        Assert.Equal(77, (int)stock["parts"]!.AsArray().Single(part => (string?)part!["part"] == "LO-1")!["supply"]!["stock"]!);
        Assert.Equal("Anna", (string?)history[0]!["who"]);
    }

    [Fact]
    public async Task Reservations_AreMadeKeptAndEnded()
    {
        (HttpStatusCode made, JsonNode reservation) = await Reserve(3, whatIsThere: true);
        (HttpStatusCode tooMany, JsonNode refused) = await Reserve(5000, whatIsThere: false);
        JsonNode held = JsonNode.Parse(await _worker.Client.Http.GetStringAsync("/api/stock/reservations", TestContext.Current.CancellationToken))!;
        JsonNode kept = Line(await Parts("sets=3"), "LO-1");
        (HttpStatusCode ended, _) = await Send(HttpMethod.Delete, $"/api/stock/reservations/{reservation["id"]}?by=Anna");
        (HttpStatusCode again, _) = await Send(HttpMethod.Delete, $"/api/stock/reservations/{reservation["id"]}?by=Anna");

        Assert.Equal((HttpStatusCode.Created, HttpStatusCode.Conflict, HttpStatusCode.OK, HttpStatusCode.NotFound), (made, tooMany, ended, again));
        Assert.Contains(refused["faults"]!.AsArray(), fault => (string?)fault!["pointer"] == "LO-1");
        Assert.Single(held.AsArray());
        Assert.Equal(((decimal)kept["need"]!, 0m), ((decimal)kept["kept"]!, (decimal)kept["reserved"]!));

        Task<(HttpStatusCode, JsonNode)> Reserve(int sets, bool whatIsThere) => Send(
            HttpMethod.Post, "/api/stock/reservations", $$"""{ "run": "{{_job}}", "rank": 1, "sets": {{sets}}, "by": "Anna", "whatIsThere": {{(whatIsThere ? "true" : "false")}} }""", "application/json");
    }

    [Fact]
    public async Task BenchPlan_OfStoredBuilds_IsOneOrder()
    {
        (HttpStatusCode status, JsonNode plan) = await Send(
            HttpMethod.Post, "/api/bench-plan", $$"""{ "format": "bench-plan/1", "builds": [ { "run": "{{_job}}", "rank": 1, "sets": 3 }, { "run": "{{_job}}", "rank": 2, "sets": 4, "priority": 2 } ] }""", "application/json");
        (HttpStatusCode wrong, JsonNode faults) = await Send(
            HttpMethod.Post, "/api/bench-plan", """{ "format": "bench-plan/1", "builds": [ { "run": "nobody", "rank": 1, "sets": 3 }, { "build": "/etc/passwd", "job": "x", "sets": 4 } ] }""", "application/json");

        Assert.Equal((HttpStatusCode.OK, HttpStatusCode.BadRequest), (status, wrong));
        Assert.Equal([3, 4], plan["plan"]!["builds"]!.AsArray().Select(build => (int)build!["sets"]!));
        Assert.Equal(7, (int)plan["plan"]!["together"]!["order"]!["sets"]!);
        Assert.Equal(["/builds/0", "/builds/1"], faults["faults"]!.AsArray().Select(fault => (string)fault!["pointer"]!));
    }

    /// <summary>The commands that ask a worker print what they would print for the same files.</summary>
    [Fact]
    public async Task Commands_AgainstAWorker_PrintWhatFilesGive()
    {
        string url = _worker.Client.Http.BaseAddress!.ToString();
        _desk.Write("jobs/job.json", Desk.Job());
        _desk.Write("b.json", (await _worker.Client.Builds(_job))[0]);
        _desk.Write("runs.json", $$"""{ "format": "bench-plan/1", "builds": [ { "run": "{{_job}}", "rank": 1, "sets": 70 } ] }""");
        _desk.Write("files.json", """{ "format": "bench-plan/1", "builds": [ { "build": "b.json", "job": "jobs/job.json", "sets": 70 } ] }""");
        string[] asked = ["--sets", "70", "--order-on", "2031-03-03"];

        (int ofRun, string run, string error) = await Cli.Run(_desk.Root, ["parts", "--run", _job, "--rank", "1", .. asked, "--url", url]);
        (int ofFile, string file, _) = await Cli.Run(_desk.Root, ["parts", "b.json", "--job", "jobs/job.json", .. asked]);
        (_, string planOfRuns, _) = await Cli.Run(_desk.Root, "bench-plan", "runs.json", "--url", url);
        (_, string planOfFiles, _) = await Cli.Run(_desk.Root, "bench-plan", "files.json");
        (int nobody, _, string none) = await Cli.Run(_desk.Root, "parts", "--run", "nobody", "--url", url);

        Assert.True((ofRun, ofFile) == (0, 0), error);
        Assert.StartsWith("Parts of build 1 of Small two-way: 70 sets, 140 earpieces; order of 2031-03-03", run, StringComparison.Ordinal);
        Assert.Equal(file, run);
        Assert.Contains("70 sets in all", planOfRuns, StringComparison.Ordinal);
        Assert.Equal(planOfFiles, planOfRuns);
        Assert.Equal(1, nobody);
        Assert.Contains("There is no job 'nobody'", none, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Purchasing_WrongQuestions_AreProblemsWithFaults()
    {
        (HttpStatusCode query, JsonNode asked) = await Send(HttpMethod.Get, $"/api/jobs/{_job}/builds/1/parts?sets=0&by=tomorrow&cutLossMm=-1&drawer=mine&format=pdf&decimal=dot&set=3");
        (HttpStatusCode nobody, _) = await Send(HttpMethod.Get, "/api/jobs/nobody/builds/1/parts");
        (HttpStatusCode form, _) = await Send(HttpMethod.Post, "/api/stock/import?by=Anna", "part,stock\n", "text/plain");
        (HttpStatusCode noName, JsonNode name) = await Send(HttpMethod.Post, "/api/stock/import?dryRun=perhaps", "part,stock\n", "text/csv");
        (HttpStatusCode cells, JsonNode sheet) = await Send(HttpMethod.Post, "/api/stock/import?by=Anna", "part,stock\nLO-1,x\n", "text/csv");
        (HttpStatusCode body, JsonNode keys) = await Send(HttpMethod.Post, "/api/stock/reservations", "{ \"run\": \"x\", \"rnk\": 1 }", "application/json");

        Assert.Equal(
            [HttpStatusCode.BadRequest, HttpStatusCode.NotFound, HttpStatusCode.UnsupportedMediaType, HttpStatusCode.BadRequest, HttpStatusCode.BadRequest, HttpStatusCode.BadRequest],
            [query, nobody, form, noName, cells, body]);
        Assert.Equal(["set", "sets", "by", "cutLossMm", "format", "decimal", "drawer"], Pointers(asked));
        Assert.Equal(["by", "dryRun"], Pointers(name));
        Assert.Equal(["line 2, column 2 (stock)"], Pointers(sheet));
        Assert.Contains("/rnk", Pointers(keys));
    }

    private static IEnumerable<string> Pointers(JsonNode problem) => problem["faults"]!.AsArray().Select(fault => (string)fault!["pointer"]!);

    private static JsonNode Line(JsonObject view, string part) => view["parts"]!["lines"]!.AsArray().Single(line => (string?)line!["part"] == part)!;

    private Task<JsonObject> Parts(string query) => _worker.Client.Get($"/api/jobs/{_job}/builds/1/parts?{query}");

    private async Task<(HttpStatusCode Status, JsonNode Body)> Send(HttpMethod method, string path, string? text = null, string type = "application/json")
    {
        using HttpRequestMessage request = new(method, path) { Content = text is null ? null : new StringContent(text, Encoding.UTF8, type) };
        using HttpResponseMessage response = await _worker.Client.Http.SendAsync(request, TestContext.Current.CancellationToken);
        return (response.StatusCode, JsonNode.Parse(await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!);
    }
}
