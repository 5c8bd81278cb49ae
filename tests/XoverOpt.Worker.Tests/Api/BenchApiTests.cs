using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Api;

public sealed class BenchApiTests : IAsyncLifetime
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
    public async Task Inspect_AUnitAsBuilt_FindsNothingWrong()
    {
        string build = (await _worker.Client.Get($"/api/jobs/{_job}/builds/1")).ToJsonString();

        (HttpStatusCode status, JsonObject report) = await Post($"/api/jobs/{_job}/builds/1/inspect", BenchCurve.Csv(build));

        Assert.Equal(HttpStatusCode.OK, status);
        Assert.True((bool)report["passes"]!);
        Assert.Equal("noneFound", (string?)report["stories"]![0]!["kind"]);
        Assert.Contains("injures hearing", (string)report["caution"]!, StringComparison.Ordinal);
        Assert.NotEmpty(report["limits"]!["lowDb"]!.AsArray());
    }

    [Fact]
    public async Task Pairs_OfALot_AreSortedForPartsAndForABuild()
    {
        (HttpStatusCode status, JsonObject pairs) = await Post("/api/pairs?limitDb=0.5", BenchCurve.Serials());
        (_, JsonObject wanted) = await Post("/api/pairs?limitDb=0.5&sets=1", BenchCurve.Serials());
        (HttpStatusCode ofBuild, JsonObject sets) = await Post($"/api/pairs?limitDb=5&job={_job}&build=1", BenchCurve.Serials());

        Assert.Equal((HttpStatusCode.OK, HttpStatusCode.OK), (status, ofBuild));
        Assert.True((bool)pairs["proven"]!);
        Assert.Equal(2, wanted["sets"]!.AsArray().Count);
        Assert.Equal(20, (2 * pairs["sets"]!.AsArray().Count) + pairs["leftOver"]!.AsArray().Count);
        Assert.NotNull(sets["totalMismatchDb"]);
    }

    [Fact]
    public async Task Bench_WrongQuestions_AreProblemsWithFaults()
    {
        (HttpStatusCode form, _) = await Post("/api/pairs", BenchCurve.Serials(), "application/json");
        (HttpStatusCode query, JsonObject asked) = await Post("/api/pairs?limitDb=-1&sets=0&job=x", BenchCurve.Serials());
        (HttpStatusCode body, JsonObject cells) = await Post("/api/pairs", "serial,part_number,sensitivity_db,resonance_hz,dc_resistance_ohm\nA,P,x,y,3\n");
        (HttpStatusCode curve, JsonObject heading) = await Post($"/api/jobs/{_job}/builds/1/inspect", "khz,spl\n1,2\n");
        (HttpStatusCode rank, _) = await Post($"/api/jobs/{_job}/builds/99/inspect", "hz,spl_db\n");
        (HttpStatusCode job, _) = await Post("/api/pairs?job=nobody&build=1", BenchCurve.Serials());

        Assert.Equal(
            [HttpStatusCode.UnsupportedMediaType, HttpStatusCode.BadRequest, HttpStatusCode.BadRequest, HttpStatusCode.BadRequest, HttpStatusCode.NotFound, HttpStatusCode.NotFound],
            [form, query, body, curve, rank, job]);
        Assert.Equal(["limitDb", "sets", "job, build"], asked["faults"]!.AsArray().Select(fault => (string)fault!["pointer"]!));
        Assert.Equal("line 2, column 3 (sensitivity_db)", (string?)cells["faults"]![0]!["pointer"]);
        Assert.Equal(2, cells["faults"]!.AsArray().Count);
        Assert.Contains("1000", (string)heading["faults"]![0]!["hint"]!, StringComparison.Ordinal);
    }

    private async Task<(HttpStatusCode Status, JsonObject Body)> Post(string path, string text, string type = "text/csv")
    {
        using StringContent content = new(text, Encoding.UTF8, type);
        using HttpResponseMessage response = await _worker.Client.Http.PostAsync(path, content, TestContext.Current.CancellationToken);
        string body = await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        return (response.StatusCode, JsonNode.Parse(body)!.AsObject());
    }
}
