using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Tests.Api;

public sealed class OtherApiTests : IAsyncLifetime
{
    private readonly Desk _desk = new();
    private WorkerHere _worker = null!;

    public async ValueTask InitializeAsync() => _worker = await WorkerHere.Start(_desk);

    public async ValueTask DisposeAsync()
    {
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    [Fact]
    public async Task OpenApi_Document_DescribesEveryRoute()
    {
        JsonObject document = await _worker.Client.Get("/openapi/v1.json");

        Assert.StartsWith("3.1.", (string)document["openapi"]!, StringComparison.Ordinal);
        Assert.Equal(
            [
                "/api/curves post",
                "/api/fits post",
                "/api/jobs get",
                "/api/jobs post",
                "/api/jobs/{id} delete",
                "/api/jobs/{id} get",
                "/api/jobs/{id}/builds get",
                "/api/jobs/{id}/builds/{rank} get",
                "/api/jobs/{id}/builds/{rank}/drawings/{kind}.svg get",
                "/api/jobs/{id}/builds/{rank}/ears get",
                "/api/jobs/{id}/builds/{rank}/inspect post",
                "/api/jobs/{id}/builds/{rank}/levels get",
                "/api/jobs/{id}/builds/{rank}/limits get",
                "/api/jobs/{id}/builds/{rank}/netlist get",
                "/api/jobs/{id}/builds/{rank}/sheet get",
                "/api/jobs/{id}/builds/{rank}/sources get",
                "/api/jobs/{id}/builds/{rank}/spread get",
                "/api/jobs/{id}/events get",
                "/api/jobs/{id}/export get",
                "/api/jobs/{id}/stop post",
                "/api/pairs post",
                "/api/receivers get",
                "/api/worker get",
                "/api/worker/pause post",
                "/api/worker/resume post",
                "/health/live get",
                "/health/ready get",
                "/schemas/{name} get",
            ],
            document["paths"]!.AsObject().SelectMany(path => path.Value!.AsObject().Select(verb => $"{path.Key} {verb.Key}")).Order(StringComparer.Ordinal));
    }

    [Fact]
    public async Task Receivers_OfTheDrawer_AreReceiverFiles()
    {
        JsonObject drawer = await _worker.Client.Get("/api/receivers");

        Assert.Equal(["HI-1", "HI-2", "LO-1"], drawer["receivers"]!.AsArray().Select(item => (string)item!["partNumber"]!).Order(StringComparer.Ordinal));
        Assert.All(drawer["receivers"]!.AsArray(), item => Assert.Equal("receiver/1", (string?)item!["format"]));
    }

    [Fact]
    public async Task Schemas_OfEveryFormat_AreServed()
    {
        foreach (string format in FileSchemas.Names)
        {
            JsonObject schema = await _worker.Client.Get("/schemas/" + FileSchemas.FileName(format));
            Assert.Equal("https://json-schema.org/draft/2020-12/schema", (string?)schema["$schema"]);
        }
    }

    [Fact]
    public async Task Health_OfARunningWorker_IsLiveAndReady()
    {
        Assert.Equal("live", (string?)(await _worker.Client.Get("/health/live"))["status"]);
        Assert.Equal("ready", (string?)(await _worker.Client.Get("/health/ready"))["status"]);
    }
}
