using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Worker.Access;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Api;

/// <summary>JSON Schemas of the files.</summary>
internal static class SchemasApi
{
    /// <summary>Adds the route.</summary>
    public static void Map(IEndpointRouteBuilder routes) =>
        routes.MapGet("/schemas/{name}", Get).WithSummary("JSON Schema of a file format, such as job-1.schema.json")
            .ProducesProblem(StatusCodes.Status404NotFound).RequireScope(Scope.Read);

    private static Results<ContentHttpResult, ProblemHttpResult> Get(string name) =>
        FileSchemas.Names.FirstOrDefault(format => FileSchemas.FileName(format) == name) is { } known
            ? TypedResults.Text(FileSchemas.Text(known), "application/schema+json")
            : ApiProblems.NotFound($"There is no schema '{name}'; there are {string.Join(", ", FileSchemas.Names.Select(FileSchemas.FileName))}.");
}
