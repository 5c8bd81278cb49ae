using System.Globalization;
using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Inbox;
using XoverOpt.Worker.Queue;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>Handing in, looking up and stopping jobs.</summary>
internal static class JobsApi
{
    private const int UsualPage = 50;
    private const int MaxPage = 200;
    private const int MostPriority = JobSchedule.MostPriority;

    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapPost("/api/jobs", Submit).WithSummary("Hands in a job; the answer means that it is kept and will be worked on")
            .Accepts<System.Text.Json.Nodes.JsonObject>("application/json")
            .Produces<JobView>(StatusCodes.Status202Accepted)
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status413PayloadTooLarge)
            .ProducesProblem(StatusCodes.Status415UnsupportedMediaType).ProducesProblem(StatusCodes.Status422UnprocessableEntity)
            .RequireScope(Scope.Submit);
        routes.MapGet("/api/jobs", List).WithSummary("Jobs, newest first; by state; in pages").ProducesProblem(StatusCodes.Status400BadRequest)
            .RequireScope(Scope.Read);
        routes.MapGet("/api/jobs/{id}", Get).WithSummary("One job: state, progress, best figures, time left").ProducesProblem(StatusCodes.Status404NotFound)
            .RequireScope(Scope.Read);
        routes.MapDelete("/api/jobs/{id}", Delete).WithSummary("Deletes a job that has ended, with its builds and everything else kept of it")
            .ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status409Conflict)
            .RequireScope(Scope.Admin);
        routes.MapPost("/api/jobs/{id}/stop", Stop).WithSummary("Stops a job within a second and keeps the best so far")
            .ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status409Conflict)
            .RequireScope(Scope.Submit);
        routes.MapPut("/api/jobs/{id}/priority", SetPriority).WithSummary($"Changes how urgent an open job is: value, a whole number from {-MostPriority} to {MostPriority}, higher goes first")
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status409Conflict)
            .RequireScope(Scope.Submit);
    }

    private static Results<Ok<JobView>, ProblemHttpResult> SetPriority(string id, IRunStore store, string? value = null)
    {
        if (!int.TryParse(value, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out int priority) || Math.Abs((long)priority) > MostPriority)
        {
            return ApiProblems.Refuse("The priority cannot be set to this.", [new FaultView("value", value ?? "nothing", $"a whole number from {-MostPriority} to {MostPriority}")]);
        }

        return store.SetPriority(id, priority) ? TypedResults.Ok(JobView.Of(store.Find(id)!))
            : store.Find(id) is { } ended ? Ended(ended)
            : NoSuchJob(id);
    }

    private static ProblemHttpResult Ended(RunRecord run) =>
        ApiProblems.Refuse($"The job has ended already: {RunStateText.Of(run.State)}.", [], StatusCodes.Status409Conflict);

    private static Results<NoContent, ProblemHttpResult> Delete(string id, IRunStore store) => store.Delete(id) switch
    {
        Deletion.Deleted => TypedResults.NoContent(),
        Deletion.StillOpen => ApiProblems.Refuse("The job has not ended: stop it first.", [], StatusCodes.Status409Conflict),
        _ => NoSuchJob(id),
    };

    private static Task<IResult> Submit(HttpRequest request, IRunStore store, JobIntake intake) => Take(request, store, intake.Take, "");

    /// <summary>Takes what was posted and answers with the run it became.</summary>
    /// <param name="request">The request.</param>
    /// <param name="store">The runs.</param>
    /// <param name="take">Makes a run of the body; null where what the address names is not there.</param>
    /// <param name="nothing">What to say then.</param>
    internal static async Task<IResult> Take(
        HttpRequest request, IRunStore store, Func<ReadOnlyMemory<byte>, IdempotencyKey?, Intake?> take, string nothing)
    {
        // A page of another site can send plain text here from a browser, but not JSON.
        if (!request.HasJsonContentType())
        {
            return TypedResults.Problem("A job is posted as JSON.", statusCode: StatusCodes.Status415UnsupportedMediaType);
        }

        string? keyText = request.Headers["Idempotency-Key"];
        if (keyText is { Length: 0 or > 255 } || keyText?.StartsWith(InboxFolder.MarkPrefix, StringComparison.Ordinal) == true)
        {
            return ApiProblems.Refuse(
                "The Idempotency-Key cannot be used.",
                [new FaultView("Idempotency-Key", $"{keyText.Length} characters", $"1 to 255 characters, not beginning with {InboxFolder.MarkPrefix}")]);
        }

        using MemoryStream body = new();
        await request.Body.CopyToAsync(body, request.HttpContext.RequestAborted).ConfigureAwait(false);
        byte[] bytes = body.ToArray();
        if (take(bytes, keyText is null ? null : JobIntake.Key(keyText, bytes)) is not { } taken)
        {
            return ApiProblems.NotFound(nothing);
        }

        if (taken.Submission is not { } submission)
        {
            return ApiProblems.Refuse("The job is wrong; nothing was kept.", taken.Faults.Select(FaultView.Of));
        }

        if (submission.Kind == SubmissionKind.KeyUsedOtherwise)
        {
            return ApiProblems.Refuse(
                "This Idempotency-Key came with another job before.",
                [new FaultView("Idempotency-Key", keyText!, "a key of its own for each job", $"The earlier job is {submission.RunId}.")],
                StatusCodes.Status422UnprocessableEntity);
        }

        return TypedResults.Accepted($"/api/jobs/{submission.RunId}", JobView.Of(store.Find(submission.RunId)!));
    }

    private static Results<Ok<JobPage>, ProblemHttpResult> List(IRunStore store, string? state = null, string? after = null, string? limit = null)
    {
        List<FaultView> faults = [];
        RunState? wanted = state is null ? null : RunStateText.Parse(state);
        if (state is not null && wanted is null)
        {
            faults.Add(new FaultView("state", state, string.Join(", ", RunStateText.All)));
        }

        int take = UsualPage;
        if (limit is not null && (!int.TryParse(limit, NumberStyles.None, CultureInfo.InvariantCulture, out take) || take is < 1 or > MaxPage))
        {
            faults.Add(new FaultView("limit", limit, $"a whole number from 1 to {MaxPage}"));
        }

        if (after is not null && store.Find(after) is null)
        {
            faults.Add(new FaultView("after", after, "the id of a job"));
        }

        if (faults.Count > 0)
        {
            return ApiProblems.Refuse("The list cannot be given like this.", faults);
        }

        IReadOnlyList<RunRecord> runs = store.List(wanted, after, take + 1);
        string? next = runs.Count <= take
            ? null
            : string.Create(
                CultureInfo.InvariantCulture, $"/api/jobs?limit={take}&after={runs[take - 1].Id}{(state is null ? "" : "&state=" + state)}");
        return TypedResults.Ok(new JobPage([.. runs.Take(take).Select(JobView.Of)], next));
    }

    private static Results<Ok<JobView>, ProblemHttpResult> Get(string id, IRunStore store, IOutbox outbox) =>
        store.Find(id) is { } run ? TypedResults.Ok(JobView.Of(run, run.Notify is null ? null : outbox.Find(id))) : NoSuchJob(id);

    private static Results<Accepted<JobView>, ProblemHttpResult> Stop(string id, IRunStore store)
    {
        if (store.Find(id) is null)
        {
            return NoSuchJob(id);
        }

        if (!store.AskToStop(id))
        {
            return Ended(store.Find(id)!);
        }

        return TypedResults.Accepted($"/api/jobs/{id}", JobView.Of(store.Find(id)!));
    }

    private static ProblemHttpResult NoSuchJob(string id) => ApiProblems.NotFound($"There is no job '{id}'.");
}
