using XoverOpt.Worker.Access;
using XoverOpt.Worker.Queue;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>The same job again, against a changed drawer or with changes of its own, from the builds it found.</summary>
internal static class RerunApi
{
    /// <summary>Adds the route.</summary>
    public static void Map(IEndpointRouteBuilder routes) =>
        routes.MapPost("/api/jobs/{id}/rerun", Rerun)
            .WithSummary("Runs a job again from the builds it found: with the worker's drawer as it is now, or with a changed job, a merge patch of it or another drawer")
            .Accepts<System.Text.Json.Nodes.JsonObject>("application/json")
            .Produces<JobView>(StatusCodes.Status202Accepted)
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound)
            .ProducesProblem(StatusCodes.Status413PayloadTooLarge).ProducesProblem(StatusCodes.Status415UnsupportedMediaType)
            .ProducesProblem(StatusCodes.Status422UnprocessableEntity)
            .RequireScope(Scope.Submit);

    private static Task<IResult> Rerun(string id, HttpRequest request, IRunStore store, JobIntake intake, JobRerun rerun) =>
        JobsApi.Take(request, store, (body, key) => store.Job(id) is null ? null : rerun.Take(id, body, key, intake), $"There is no job '{id}'.");
}
