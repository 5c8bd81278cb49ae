using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>For operators.</summary>
internal static class HealthApi
{
    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/health/live", () => TypedResults.Ok(new Health("live", null))).WithSummary("The process answers");
        routes.MapGet("/health/ready", Ready).WithSummary("The store can be read: jobs are taken").ProducesProblem(StatusCodes.Status503ServiceUnavailable);
    }

    private static Results<Ok<Health>, ProblemHttpResult> Ready(IRunStore store, ILoggerFactory logs)
    {
        try
        {
            return TypedResults.Ok(new Health("ready", store.Count().ToDictionary(pair => RunStateText.Of(pair.Key), pair => pair.Value)));
        }
        catch (System.Data.Common.DbException failure)
        {
            logs.CreateLogger(typeof(HealthApi)).LogWarning("Not ready: {Failure}", failure.Message);
            return ApiProblems.Refuse("The store cannot be read.", [], StatusCodes.Status503ServiceUnavailable);
        }
    }
}

/// <summary>How the worker is.</summary>
/// <param name="Status">live or ready.</param>
/// <param name="Runs">Jobs in each state.</param>
public sealed record Health(string Status, IReadOnlyDictionary<string, int>? Runs);
