using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Api;

public sealed class EventsApiTests : IAsyncLifetime
{
    private readonly Desk _desk = new();
    private WorkerHere _worker = null!;

    private static CancellationToken Test => TestContext.Current.CancellationToken;

    private WorkerClient Client => _worker.Client;

    public async ValueTask InitializeAsync() => _worker = await WorkerHere.Start(_desk);

    public async ValueTask DisposeAsync()
    {
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    [Fact]
    public async Task Events_OfARunFollowedToItsEnd_TellItsStatesInOrderAndEnd()
    {
        string id = await Client.Submit(Desk.Job());

        List<Told> events = await Follow(id);

        Assert.Equal(events.Select(one => one.Id).Order(), events.Select(one => one.Id));
        Assert.Equal(events.Count, events.Select(one => one.Id).Distinct().Count());
        string[] states = [.. events.Where(one => one.Kind == "state").Select(one => (string)one.Data["state"]!)];
        Assert.Equal(("waiting", "done"), (states[0], states[^1]));
        Assert.Contains("running", states);
        Assert.All(events, one => Assert.NotNull(one.Data["time"]));
        Assert.Equal("state", events[^1].Kind);
    }

    [Fact]
    public async Task Events_TakenUpAtAnyId_GoOnBehindIt()
    {
        string id = await Client.Submit(Desk.Job());
        await Client.JobEnded(id);
        List<Told> whole = await Follow(id);
        Assert.True(whole.Count >= 3);

        foreach (Told last in whole.SkipLast(1))
        {
            List<Told> rest = await Follow(id, last.Id);
            Assert.Equal(whole.Where(one => one.Id > last.Id).Select(one => one.Id), rest.Select(one => one.Id));
        }

        // A browser that comes back after the end is told not to (HTML Living Standard: 204 stops the reconnecting).
        using HttpResponseMessage over = await Ask(id, whole[^1].Id.ToString(CultureInfo.InvariantCulture));
        Assert.Equal(HttpStatusCode.NoContent, over.StatusCode);
    }

    [Fact]
    public async Task Events_OfARunThatIsStopped_EndWithIt()
    {
        string id = await Client.Submit(Desk.Job(Desk.Endless));
        Task<List<Told>> following = Follow(id);
        await Client.JobWhen(id, job => job["progress"]?["best"] is not null);
        Assert.False(following.IsCompleted);

        using HttpResponseMessage stop = await Client.Http.PostAsync($"/api/jobs/{id}/stop", null, Test);

        Assert.Equal("stopped", (string?)(await following)[^1].Data["state"]);
    }

    [Fact]
    public async Task Events_OfTheQueue_TellHowItIsAndEachChange()
    {
        using HttpRequestMessage request = new(HttpMethod.Get, "/api/events");
        using HttpResponseMessage response = await Client.Http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, Test);
        await using var events = System.Net.ServerSentEvents.SseParser.Create(await response.Content.ReadAsStreamAsync(Test)).EnumerateAsync(Test).GetAsyncEnumerator(Test);
        async Task<JsonObject> When(Func<JsonObject, bool> wanted)
        {
            while (await events.MoveNextAsync())
            {
                Assert.Equal("worker", events.Current.EventType);
                JsonObject now = JsonNode.Parse(events.Current.Data)!.AsObject();
                if (wanted(now))
                {
                    return now;
                }
            }

            throw new InvalidOperationException("the stream has ended");
        }

        Assert.Equal((await Client.Get("/api/worker")).ToJsonString(), (await When(_ => true)).ToJsonString());
        await Client.Submit(Desk.Job());
        await When(now => (int?)now["runs"]!["done"] == 1);
        using HttpResponseMessage pause = await Client.Http.PostAsync("/api/worker/pause", null, Test);
        await When(now => (bool)now["paused"]!);
    }

    [Fact]
    public async Task Events_UnknownRunOrId_AreRefused()
    {
        string id = await Client.Submit(Desk.Job());
        using HttpResponseMessage none = await Ask("none", "");
        using HttpResponseMessage odd = await Ask(id, "-1 or 1=1");

        Assert.Equal((HttpStatusCode.NotFound, HttpStatusCode.BadRequest), (none.StatusCode, odd.StatusCode));
    }

    private async Task<HttpResponseMessage> Ask(string id, string lastId)
    {
        using HttpRequestMessage request = new(HttpMethod.Get, $"/api/jobs/{id}/events");
        request.Headers.TryAddWithoutValidation("Last-Event-ID", lastId);
        return await Client.Http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, Test);
    }

    /// <summary>Reads the stream with the framework's own reader.</summary>
    private async Task<List<Told>> Follow(string id, long after = 0)
    {
        using HttpResponseMessage response = await Ask(id, after.ToString(CultureInfo.InvariantCulture));
        Assert.Equal("text/event-stream", response.Content.Headers.ContentType!.MediaType);
        List<Told> events = [];
        await foreach (var item in System.Net.ServerSentEvents.SseParser.Create(await response.Content.ReadAsStreamAsync(Test)).EnumerateAsync(Test))
        {
            events.Add(new Told(long.Parse(item.EventId!, CultureInfo.InvariantCulture), item.EventType, JsonNode.Parse(item.Data)!.AsObject()));
        }

        return events;
    }

    private sealed record Told(long Id, string Kind, JsonObject Data);
}
