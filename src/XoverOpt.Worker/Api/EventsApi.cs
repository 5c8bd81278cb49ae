using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Access;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>What happens to a job, as server-sent events (HTML Living Standard, section "Server-sent events").</summary>
internal static class EventsApi
{
    private const int Batch = 200;

    // Proxies and clients give up on a line that is silent for long; half a minute is what they commonly bear.
    private static readonly TimeSpan Heartbeat = TimeSpan.FromSeconds(15);

    // Of a thousand jobs handed in at once a page need not see each.
    private static readonly TimeSpan NoMoreOften = TimeSpan.FromMilliseconds(250);

    /// <summary>Adds the route.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/api/events", FollowAll)
            .WithSummary("The queue as server-sent events: an event \"worker\", with what /api/worker says, at the beginning and after each change of a job's state or of the pause")
            .Produces<string>(StatusCodes.Status200OK, "text/event-stream")
            .RequireScope(Scope.Read).IsStream();
        routes.MapGet("/api/jobs/{id}/events", Follow)
            .WithSummary("What happens to a job, as server-sent events until it has ended: state, progress, best, failure, priority, takeover; goes on after Last-Event-ID")
            .Produces<string>(StatusCodes.Status200OK, "text/event-stream").Produces(StatusCodes.Status204NoContent)
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound)
            .RequireScope(Scope.Read).IsStream();
    }

    private static Task<IResult> FollowAll(
        HttpContext context, IRunStore store, IWorkerPause pause, Host.WorkerSettings settings, INews news, IHostApplicationLifetime host, TimeProvider clock) =>
        Stream(context, host, async end =>
        {
            while (KeyCheck.StillAdmits(context))
            {
                Task fresh = Task.WhenAny(news.Coming(NewsTopic.Work), news.Coming(NewsTopic.States));
                string view = JsonSerializer.Serialize(WorkerApi.ViewOf(store, pause, settings), ApiJson.Options);
                await context.Response.WriteAsync($"event: worker\ndata: {view}\n\n", end).ConfigureAwait(false);
                await context.Response.Body.FlushAsync(end).ConfigureAwait(false);
                await Task.Delay(NoMoreOften, clock, end).ConfigureAwait(false);
                await Wait(fresh, clock, end).ConfigureAwait(false);
            }
        });

    private static async Task<IResult> Follow(
        string id, HttpContext context, IRunStore store, IEventLog events, INews news, IHostApplicationLifetime host, TimeProvider clock)
    {
        if (store.Find(id) is null)
        {
            return ApiProblems.NotFound($"There is no job '{id}'.");
        }

        string? last = context.Request.Headers["Last-Event-ID"];
        long seen = 0;
        if (!string.IsNullOrEmpty(last) && !long.TryParse(last, NumberStyles.None, CultureInfo.InvariantCulture, out seen))
        {
            return ApiProblems.Refuse("The events cannot be given like this.", [new FaultView("Last-Event-ID", last, "the id of an event of this job")]);
        }

        // To a client that comes back after the end this says: do not come back.
        if (HasEnded(id, store) && seen > 0 && events.Events(id, seen, 1).Count == 0)
        {
            return TypedResults.NoContent();
        }

        return await Stream(context, host, end => Tell(id, seen, context, store, events, news, clock, end)).ConfigureAwait(false);
    }

    private static async Task<IResult> Stream(HttpContext context, IHostApplicationLifetime host, Func<CancellationToken, Task> tell)
    {
        using var end = CancellationTokenSource.CreateLinkedTokenSource(context.RequestAborted, host.ApplicationStopping);
        context.Response.ContentType = "text/event-stream";
        context.Response.Headers.CacheControl = "no-store";
        try
        {
            await context.Response.WriteAsync("retry: 2000\n\n", end.Token).ConfigureAwait(false);
            await tell(end.Token).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (end.IsCancellationRequested)
        {
            // The client has gone, or the worker goes down and the client comes back with the last id it saw.
        }

        return TypedResults.Empty;
    }

    private static async Task Tell(
        string id, long seen, HttpContext context, IRunStore store, IEventLog events, INews news, TimeProvider clock, CancellationToken end)
    {
        HttpResponse response = context.Response;
        while (KeyCheck.StillAdmits(context))
        {
            // Asked in this order nothing slips in between: what happens after the look wakes the wait, and an end seen here has its
            // event among those read below.
            Task fresh = news.Coming(NewsTopic.Run(id));
            bool ended = HasEnded(id, store);
            IReadOnlyList<RunEvent> batch = events.Events(id, seen, Batch);
            foreach (RunEvent one in batch)
            {
                await response.WriteAsync(Text(one), end).ConfigureAwait(false);
                seen = one.Sequence;
            }

            await response.Body.FlushAsync(end).ConfigureAwait(false);
            if (batch.Count == Batch)
            {
                continue;
            }

            if (ended)
            {
                return;
            }

            if (!await Wait(fresh, clock, end).ConfigureAwait(false))
            {
                await response.WriteAsync(": still here\n\n", end).ConfigureAwait(false);
            }
        }
    }

    /// <summary>Waits for news; false if there was none for as long as a line may be silent.</summary>
    private static async Task<bool> Wait(Task fresh, TimeProvider clock, CancellationToken end)
    {
        try
        {
            await fresh.WaitAsync(Heartbeat, clock, end).ConfigureAwait(false);
            return true;
        }
        catch (TimeoutException)
        {
            return false;
        }
    }

    // A run that was deleted meanwhile has ended, too.
    private static bool HasEnded(string id, IRunStore store) => store.Find(id) is not { Open: true };

    /// <summary>One event as the stream has it: number, kind, and one line of JSON with the time in it.</summary>
    internal static string Text(RunEvent one)
    {
        JsonObject data = JsonNode.Parse(one.Data)!.AsObject();
        data.Insert(0, "time", one.Time);
        return string.Create(CultureInfo.InvariantCulture, $"id: {one.Sequence}\nevent: {one.Kind}\ndata: {data.ToJsonString(ApiJson.Options)}\n\n");
    }
}
