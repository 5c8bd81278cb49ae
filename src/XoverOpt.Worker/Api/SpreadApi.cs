using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Search;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Commands;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Api;

/// <summary>What becomes of a stored build when its parts vary, and the limits its units are measured against.</summary>
internal static class SpreadApi
{
    private const int MostSamples = 20_000;

    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/api/jobs/{id}/builds/{rank:int}/spread", Spread).WithSummary("Yield, left and right, and what drives them, from built units drawn at random (spread/1)")
            .Produces<JsonObject>().ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status400BadRequest)
            .RequireScope(Scope.Read);
        routes.MapGet("/api/jobs/{id}/builds/{rank:int}/limits", Limits).WithSummary("Limits for the test bench, comma-separated: expected, low and high by frequency")
            .Produces<string>(contentType: "text/csv").ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status400BadRequest)
            .RequireScope(Scope.Read);
    }

    private static IResult Spread(string id, int rank, StoredBuilds builds, CancellationToken gone, int? samples = null, ulong? seed = null, double? sideLimitDb = null)
    {
        SpreadSettings settings = Settings(samples, seed, sideLimitDb);
        if (Refuse(settings, 0) is { } refused)
        {
            return refused;
        }

        return builds.Find(id, rank, out ProblemHttpResult? answer) is { } build
            ? TypedResults.Text(SpreadFile.Write(Study(build, settings, gone), [Numbered(rank)], build.Job.Problem), "application/json")
            : answer!;
    }

    private static IResult Limits(string id, int rank, StoredBuilds builds, CancellationToken gone, int? samples = null, ulong? seed = null, double? allowanceDb = null)
    {
        SpreadSettings settings = Settings(samples, seed, null);
        double allowance = allowanceDb ?? TestLimits.UsualAllowanceDb;
        if (Refuse(settings, allowance) is { } refused)
        {
            return refused;
        }

        return builds.Find(id, rank, out ProblemHttpResult? answer) is { } build
            ? TypedResults.Text(LimitsFile.Write(TestLimits.Of(Study(build, settings, gone)[0], allowance), build.Job.Problem), "text/csv")
            : answer!;
    }

    private static string Numbered(int rank) => Text.Numbers.Invariant($"build {rank}");

    private static IReadOnlyList<SpreadResult> Study(BuildInJob build, SpreadSettings settings, CancellationToken gone) =>
        SpreadRun.Of(build.Job.Problem, [build.Build.Earpiece], settings, Environment.ProcessorCount, gone);

    private static SpreadSettings Settings(int? samples, ulong? seed, double? sideLimitDb)
    {
        SpreadSettings usual = new();
        return usual with { Samples = samples ?? usual.Samples, Seed = seed ?? usual.Seed, SideLimitDb = sideLimitDb ?? usual.SideLimitDb };
    }

    private static ProblemHttpResult? Refuse(SpreadSettings settings, double allowance)
    {
        List<FaultView> faults = [];
        if (!SpreadCommand.SamplesAreAllowed(settings.Samples) || settings.Samples > MostSamples)
        {
            faults.Add(new("samples", Text.Numbers.Invariant($"{settings.Samples}"), Text.Numbers.Invariant($"an even number from {SpreadStudy.FewestSamples} to {MostSamples}")));
        }

        if (settings.SideLimitDb is not (> 0 and <= 40))
        {
            faults.Add(new("sideLimitDb", Text.Numbers.Invariant($"{settings.SideLimitDb}"), "above 0, at most 40 dB"));
        }

        if (allowance is not (>= 0 and <= 20))
        {
            faults.Add(new("allowanceDb", Text.Numbers.Invariant($"{allowance}"), "0 to 20 dB"));
        }

        return faults.Count == 0 ? null : ApiProblems.Refuse("The study cannot be made so.", faults);
    }
}
