using System.Text;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop.Changes;

namespace XoverOpt.Worker.Api;

/// <summary>What changed from one run to another.</summary>
internal static class ChangesApi
{
    /// <summary>Adds the route.</summary>
    public static void Map(IEndpointRouteBuilder routes) =>
        routes.MapGet("/api/jobs/{id}/changes", Get)
            .WithSummary("What changed from another run (?from=, or the one this is a rerun of) to this one, and why; as text where text/plain is asked for")
            .Produces<RunChanges>().Produces<string>(StatusCodes.Status200OK, "text/plain")
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound)
            .RequireScope(Scope.Read);

    private static IResult Get(string id, HttpRequest request, StoredRuns runs, string? from = null)
    {
        if (runs.Find(id) is not { } now)
        {
            return ApiProblems.NotFound($"There is no job '{id}'.");
        }

        string? earlier = from ?? now.Job.Known?.Of;
        if (earlier is null)
        {
            return ApiProblems.Refuse("Nothing says which run to compare with.", [new FaultView("from", "nothing", "the id of a job, as in ?from=ID", "A rerun is compared with the run it came from.")]);
        }

        if (runs.Find(earlier) is not { } old)
        {
            return ApiProblems.NotFound($"There is no job '{earlier}'.");
        }

        var changes = RunChanges.Between(old, now);
        return request.GetTypedHeaders().Accept.Any(type => type.MediaType == "text/plain")
            ? Results.Text(string.Join('\n', ChangesText.Lines(changes).Append("")), "text/plain", Encoding.UTF8)
            : TypedResults.Ok(changes);
    }
}
