using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Telemetry;

namespace XoverOpt.Worker.Api;

/// <summary>For operators.</summary>
internal static class HealthApi
{
    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/health/live", () => TypedResults.Ok(new Health("live", null))).WithSummary("The process answers").OpenToAll().DisableRateLimiting();
        routes.MapGet("/health/ready", Ready).WithSummary("The store can be read, the queue works and there is room: jobs are taken and worked on")
            .ProducesProblem(StatusCodes.Status503ServiceUnavailable).RequireScope(Scope.Read);
    }

    private static Results<Ok<Health>, ProblemHttpResult> Ready(Readiness readiness) =>
        readiness.Obstacles(out IReadOnlyDictionary<string, int>? runs) is { Count: > 0 } obstacles
            ? ApiProblems.Refuse("The worker is not ready: " + string.Join("; ", obstacles.Select(fault => fault.Found)) + ".", obstacles, StatusCodes.Status503ServiceUnavailable)
            : TypedResults.Ok(new Health("ready", runs));
}

/// <summary>How the worker is.</summary>
/// <param name="Status">live or ready.</param>
/// <param name="Runs">Jobs in each state.</param>
public sealed record Health(string Status, IReadOnlyDictionary<string, int>? Runs);
