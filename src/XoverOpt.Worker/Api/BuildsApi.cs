using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Worker.Access;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>What was found.</summary>
internal static class BuildsApi
{
    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/api/jobs/{id}/builds", List).WithSummary("Ranked builds without their responses; the best so far while the job runs")
            .ProducesProblem(StatusCodes.Status404NotFound).RequireScope(Scope.Read);
        routes.MapGet("/api/jobs/{id}/builds/{rank:int}", Get).WithSummary("One build with its response, as a build file")
            .Produces<JsonObject>().ProducesProblem(StatusCodes.Status404NotFound).RequireScope(Scope.Read);
    }

    private static Results<Ok<BuildList>, ProblemHttpResult> List(string id, IRunStore store)
    {
        if (store.Find(id) is not { } run)
        {
            return ApiProblems.NotFound($"There is no job '{id}'.");
        }

        // The result is there once the run has ended; until then the builds are the best so far.
        JsonObject? result = run.Result is { } text ? JsonNode.Parse(text)!.AsObject() : null;
        return TypedResults.Ok(new BuildList(BuildFile.Caution, result?["fronts"]?.DeepClone().AsArray(), result?["confidence"]?.DeepClone().AsObject(), result?["robust"]?.DeepClone().AsObject(), [.. store.Builds(id).Select(build =>
        {
            JsonObject json = JsonNode.Parse(build.Json)!.AsObject();
            json.Remove("response");
            return json;
        })]));
    }

    private static Results<ContentHttpResult, ProblemHttpResult> Get(string id, int rank, IRunStore store) =>
        store.Build(id, rank) is { } build
            ? TypedResults.Text(build.Json, "application/json")
            : ApiProblems.NotFound(store.Find(id) is null ? $"There is no job '{id}'." : $"The job has no build of rank {rank} (yet).");
}

/// <summary>Ranked builds of a job.</summary>
/// <param name="Caution">What must be said where levels are shown.</param>
/// <param name="Fronts">Trade-off fronts as in a result file; absent while the job runs.</param>
/// <param name="Confidence">How sure the result is, as in a result file; absent while the job runs.</param>
/// <param name="Robust">Which build holds up best, as in a result file; absent while the job runs and where it does not ask.</param>
/// <param name="Builds">Build files without their responses, best first.</param>
public sealed record BuildList(string Caution, JsonArray? Fronts, JsonObject? Confidence, JsonObject? Robust, IReadOnlyList<JsonObject> Builds);
