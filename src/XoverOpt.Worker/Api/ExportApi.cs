using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Export;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>A run to take along.</summary>
internal static class ExportApi
{
    /// <summary>Adds the route.</summary>
    public static void Map(IEndpointRouteBuilder routes) =>
        routes.MapGet("/api/jobs/{id}/export", Get)
            .WithSummary("A job that has ended, as one ZIP archive: job, inventory, result, builds, report; the same bytes each time")
            .Produces<byte[]>(StatusCodes.Status200OK, "application/zip")
            .ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status409Conflict)
            .RequireScope(Scope.Read);

    private static Results<FileContentHttpResult, ProblemHttpResult> Get(string id, IRunStore store, RunArchive archive) => store.Find(id) switch
    {
        null => ApiProblems.NotFound($"There is no job '{id}'."),
        { Open: true } run => ApiProblems.Refuse(
            $"The job has not ended yet: {RunStateText.Of(run.State)}. The best so far stands at /api/jobs/{id}/builds.", [], StatusCodes.Status409Conflict),
        { } run => TypedResults.File(archive.Pack(run), "application/zip", $"run-{run.Id}.zip"),
    };
}
