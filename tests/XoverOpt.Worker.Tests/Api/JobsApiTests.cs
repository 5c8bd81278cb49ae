using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Api;

public sealed class JobsApiTests : IAsyncLifetime
{
    private readonly Desk _desk = new();
    private WorkerHere _worker = null!;

    private WorkerClient Client => _worker.Client;

    private static CancellationToken Test => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => _worker = await WorkerHere.Start(_desk);

    public async ValueTask DisposeAsync()
    {
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    [Fact]
    public async Task Job_PostedAndSolved_GivesTheSameBuildsToTheByte()
    {
        _desk.Write("jobs/job.json", Desk.Job());
        (int exit, _, string error) = await Cli.Run(_desk.Root, "solve", "jobs/job.json", "--out", "o");
        Assert.True(exit == 0, error);

        JsonNode result = JsonNode.Parse(_desk.Read("o/result.json"))!;
        string first = await Client.Submit(Desk.Job()), second = await Client.Submit(Desk.Job());

        foreach (string id in new[] { first, second })
        {
            JsonObject job = await Client.JobEnded(id);
            Assert.Equal(
                ("done", (string?)result["reason"], "Small two-way", "5"),
                ((string?)job["state"], (string?)job["reason"], (string?)job["name"], (string?)job["seed"]));
            Assert.Equal((double)JsonNode.Parse(_desk.Builds("o")[0])!["cost"]!["total"]!, (double)job["progress"]!["best"]!["cost"]!, 1e-9);
            Assert.Equal((long)result["evaluations"]!, (long)job["progress"]!["evaluations"]!);
            Assert.Equal(_desk.Builds("o"), await Client.Builds(id));
        }
    }

    [Fact]
    public async Task Builds_List_HasCautionAndFiguresAndNoResponses()
    {
        string id = await Client.Submit(Desk.Job());
        await Client.JobEnded(id);

        JsonObject list = await Client.Get($"/api/jobs/{id}/builds");

        Assert.Contains("injures hearing", (string)list["caution"]!, StringComparison.Ordinal);
        Assert.Contains("ear impression", (string)list["caution"]!, StringComparison.Ordinal);
        Assert.Equal(1, (int)list["builds"]![0]!["rank"]!);
        Assert.NotNull(list["builds"]![0]!["figures"]!["splAt100mV"]);
        Assert.Null(list["builds"]![0]!["response"]);
        Assert.True((double)list["builds"]![0]!["relaxedCost"]! > 0);
        Assert.NotNull(list["builds"]![0]!["snappingLossPercent"]);
        Assert.Equal(["price", "receivers", "sensitivity"], list["fronts"]!.AsArray().Skip(1).Select(front => (string?)front!["name"]));
        Assert.NotNull(list["builds"]![0]!["advice"]);
        Assert.True(list["confidence"]!.AsObject().ContainsKey("values"));
        JsonObject build = await Client.Get($"/api/jobs/{id}/builds/1");
        Assert.NotEmpty(build["response"]!["hz"]!.AsArray());
        Assert.Contains("injures hearing", (string)build["caution"]!, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Stop_RunningJob_KeepsTheBestSoFar()
    {
        string id = await Client.Submit(Desk.Job(Desk.Endless));
        await Client.JobWhen(id, job => job["progress"]?["best"] is not null);

        using HttpResponseMessage asked = await Client.Http.PostAsync($"/api/jobs/{id}/stop", null, Test);

        Assert.Equal(HttpStatusCode.Accepted, asked.StatusCode);
        JsonObject ended = await Client.JobEnded(id);
        Assert.Equal(("stopped", "stopped"), ((string?)ended["state"], (string?)ended["reason"]));
        Assert.NotEmpty(await Client.Builds(id));
        using HttpResponseMessage again = await Client.Http.PostAsync($"/api/jobs/{id}/stop", null, Test);
        await AssertProblem(again, HttpStatusCode.Conflict);
    }

    [Fact]
    public async Task Job_NothingFits_FailsWithTheLimitThatBlocks()
    {
        string id = await Client.Submit(Desk.Job(limits: "{ \"maxPartsCost\": 3 }"));

        JsonObject job = await Client.JobEnded(id);

        Assert.Equal("failed", (string?)job["state"]);
        Assert.StartsWith("no layout fits: limits.maxPartsCost", (string)job["failure"]!, StringComparison.Ordinal);
        Assert.Empty(await Client.Builds(id));
    }

    [Fact]
    public async Task Post_SameIdempotencyKey_MakesOneJob()
    {
        string[] ids = await Task.WhenAll(Enumerable.Range(0, 4).Select(async _ =>
        {
            using HttpResponseMessage response = await PostWithKey(Desk.Job(), "key-1");
            Assert.Equal(HttpStatusCode.Accepted, response.StatusCode);
            return response.Headers.Location!.ToString();
        }));
        using HttpResponseMessage other = await PostWithKey(Desk.Job(4000), "key-1");

        Assert.Single(ids.Distinct());
        Assert.Single((await Client.Get("/api/jobs"))["jobs"]!.AsArray());
        await AssertProblem(other, HttpStatusCode.UnprocessableEntity, "Idempotency-Key");
        using HttpResponseMessage tooLong = await PostWithKey(Desk.Job(), new string('k', 256));
        await AssertProblem(tooLong, HttpStatusCode.BadRequest, "Idempotency-Key");
    }

    [Theory]
    [InlineData("")]
    [InlineData("{")]
    [InlineData("[]")]
    [InlineData("null")]
    [InlineData("\"job\"")]
    [InlineData("12")]
    [InlineData("\u0000")]
    [InlineData("{ \"format\": \"job/2\" }")]
    [InlineData("{ \"format\": \"job/1\", \"target\": { \"points\": [ { \"hz\": NaN, \"db\": 0 } ] }, \"inventory\": \"../driverlib\" }")]
    [InlineData("{ \"format\": \"job/1\", \"target\": { \"points\": [ { \"hz\": 1e999, \"db\": 0 } ] }, \"inventory\": \"../driverlib\" }")]
    [InlineData("{ \"format\": \"job/1\", \"target\": { \"points\": [ { \"hz\": 20, \"db\": 0 } ] }, \"inventory\": \"../../../etc\" }")]
    [InlineData("{ \"format\": \"job/1\", \"target\": { \"points\": [ { \"hz\": 20, \"db\": 0 } ] }, \"inventory\": \"/etc/passwd\" }")]
    [InlineData("{ \"format\": \"job/1\", \"target\": { \"file\": \"../secret.csv\" }, \"inventory\": \"../driverlib\" }")]
    [InlineData("{ \"format\": \"job/1\", \"targt\": {}, \"inventory\": \"../driverlib\" }")]
    public async Task Post_WrongJob_IsRefusedWithFaultsAndNothingIsKept(string body)
    {
        using HttpResponseMessage response = await Client.Http.PostAsync("/api/jobs", WorkerClient.Json(body), Test);

        JsonNode problem = await AssertProblem(response, HttpStatusCode.BadRequest);
        Assert.NotEmpty(problem["faults"]!.AsArray());
        Assert.All(problem["faults"]!.AsArray(), fault =>
        {
            Assert.NotNull(fault!["pointer"]);
            Assert.NotEmpty((string)fault["found"]!);
            Assert.NotEmpty((string)fault["allowed"]!);
        });
        Assert.Empty((await Client.Get("/api/jobs"))["jobs"]!.AsArray());
    }

    [Fact]
    public async Task Post_DeepOrNotUtf8OrStartingFromABuild_IsRefused()
    {
        foreach (byte[] body in new[]
        {
            Encoding.UTF8.GetBytes(new string('[', 100_000)),
            [(byte)'{', (byte)'"', 0xff, 0xfe, (byte)'"', (byte)':', (byte)'1', (byte)'}'],
            Encoding.UTF8.GetBytes(Desk.Job(more: "\"from\": { \"build\": \"b\", \"free\": [\"low\"] },")),
        })
        {
            using ByteArrayContent content = new(body);
            content.Headers.ContentType = new("application/json");
            using HttpResponseMessage response = await Client.Http.PostAsync("/api/jobs", content, Test);

            JsonNode problem = await AssertProblem(response, HttpStatusCode.BadRequest);
            Assert.NotEmpty(problem["faults"]!.AsArray());
        }
    }

    [Fact]
    public async Task Post_TooLargeOrNotJson_IsRefused()
    {
        using HttpRequestMessage request = new(HttpMethod.Post, "/api/jobs") { Content = WorkerClient.Json(new string(' ', (8 * 1024 * 1024) + 1)) };

        // Asks before it sends: the server closes the line on a body that it will not take.
        request.Headers.ExpectContinue = true;
        using HttpResponseMessage large = await Client.Http.SendAsync(request, Test);
        using StringContent text = new(Desk.Job(), Encoding.UTF8, "text/plain");
        using HttpResponseMessage plain = await Client.Http.PostAsync("/api/jobs", text, Test);

        await AssertProblem(large, HttpStatusCode.RequestEntityTooLarge, "");
        await AssertProblem(plain, HttpStatusCode.UnsupportedMediaType, "Content-Type");
        Assert.Empty((await Client.Get("/api/jobs"))["jobs"]!.AsArray());
    }

    [Theory]
    [InlineData("GET", "/nowhere", HttpStatusCode.NotFound)]
    [InlineData("GET", "/api/jobs/none", HttpStatusCode.NotFound)]
    [InlineData("POST", "/api/jobs/none/stop", HttpStatusCode.NotFound)]
    [InlineData("GET", "/api/jobs/none/builds", HttpStatusCode.NotFound)]
    [InlineData("GET", "/api/jobs/none/builds/1", HttpStatusCode.NotFound)]
    [InlineData("GET", "/api/jobs/none/builds/first", HttpStatusCode.NotFound)]
    [InlineData("GET", "/schemas/none", HttpStatusCode.NotFound)]
    [InlineData("DELETE", "/api/jobs", HttpStatusCode.MethodNotAllowed)]
    [InlineData("GET", "/api/jobs?state=sleeping", HttpStatusCode.BadRequest)]
    [InlineData("GET", "/api/jobs?limit=0", HttpStatusCode.BadRequest)]
    [InlineData("GET", "/api/jobs?limit=ten", HttpStatusCode.BadRequest)]
    [InlineData("GET", "/api/jobs?after=none", HttpStatusCode.BadRequest)]
    public async Task Request_ThatCannotBeServed_IsAnsweredWithProblemDetails(string method, string path, HttpStatusCode expected)
    {
        using HttpRequestMessage request = new(new HttpMethod(method), path);
        using HttpResponseMessage response = await Client.Http.SendAsync(request, Test);

        JsonNode problem = await AssertProblem(response, expected);
        if (expected == HttpStatusCode.BadRequest)
        {
            Assert.Single(problem["faults"]!.AsArray());
        }
    }

    [Fact]
    public async Task List_InPages_GivesEachJobOnceNewestFirst()
    {
        List<string> ids = [];
        for (int i = 0; i < 5; i++)
        {
            ids.Add(await Client.Submit(Desk.Job(limits: "{ \"maxPartsCost\": 3 }")));
        }

        foreach (string id in ids)
        {
            await Client.JobEnded(id);
        }

        List<string> listed = [];
        for (string? next = "/api/jobs?limit=2&state=failed"; next is not null;)
        {
            JsonObject page = await Client.Get(next);
            listed.AddRange(page["jobs"]!.AsArray().Select(job => (string)job!["id"]!));
            next = (string?)page["next"];
        }

        Assert.Equal(ids.Order(StringComparer.Ordinal), listed.Order(StringComparer.Ordinal));
        Assert.Empty((await Client.Get("/api/jobs?state=done"))["jobs"]!.AsArray());
    }

    private static async Task<JsonNode> AssertProblem(HttpResponseMessage response, HttpStatusCode expected, string? pointer = null)
    {
        string body = await response.Content.ReadAsStringAsync(Test);
        Assert.True(response.StatusCode == expected, body);
        Assert.Equal("application/problem+json", response.Content.Headers.ContentType!.MediaType);
        Assert.DoesNotContain("   at ", body, StringComparison.Ordinal);
        Assert.DoesNotContain("Exception", body, StringComparison.Ordinal);
        JsonNode problem = JsonNode.Parse(body)!;
        Assert.Equal((int)expected, (int)problem["status"]!);
        Assert.NotNull(problem["title"]);
        JsonArray faults = problem["faults"]!.AsArray();
        if (pointer is not null)
        {
            Assert.Equal(pointer, (string?)faults[0]!["pointer"]);
        }

        return problem;
    }

    private async Task<HttpResponseMessage> PostWithKey(string job, string key)
    {
        using HttpRequestMessage request = new(HttpMethod.Post, "/api/jobs") { Content = WorkerClient.Json(job) };
        request.Headers.Add("Idempotency-Key", key);
        return await Client.Http.SendAsync(request, Test);
    }
}
