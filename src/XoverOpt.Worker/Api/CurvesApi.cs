using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Search;
using XoverOpt.Worker.Access;

namespace XoverOpt.Worker.Api;

/// <summary>The curves of a stored build, ready to draw.</summary>
internal static class CurvesApi
{
    // Twelve points an octave in the study of parts; more units would only sharpen what a chart does not show.
    private const int UsualUnits = 400;
    private const int MostUnits = 4000;

    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/api/jobs/{id}/builds/{rank:int}/curves", Curves).WithSummary("Curves of a build ready to draw: level, target, shares, phase, group delay, summing loss, impedance, loudest")
            .ProducesProblem(StatusCodes.Status404NotFound).RequireScope(Scope.Read);
        routes.MapGet("/api/jobs/{id}/builds/{rank:int}/fan", Fan).WithSummary("Between which levels built units lie, by frequency, from units drawn at random")
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound).RequireScope(Scope.Read);
    }

    private static Results<Ok<CurvesView>, ProblemHttpResult> Curves(string id, int rank, StoredBuilds builds) =>
        builds.Find(id, rank, out ProblemHttpResult? answer) is { } build ? TypedResults.Ok(CurvesView.Of(build)) : answer!;

    private static Results<Ok<FanView>, ProblemHttpResult> Fan(string id, int rank, StoredBuilds builds, CancellationToken gone, int? units = null)
    {
        if (units is { } asked && (asked is < SpreadStudy.FewestSamples or > MostUnits || asked % 2 != 0))
        {
            return ApiProblems.Refuse(
                "The study cannot be made so.",
                [new("units", Text.Numbers.Invariant($"{units}"), Text.Numbers.Invariant($"an even number from {SpreadStudy.FewestSamples} to {MostUnits}"))]);
        }

        return builds.Find(id, rank, out ProblemHttpResult? answer) is { } build ? TypedResults.Ok(FanView.Of(build, units ?? UsualUnits, gone)) : answer!;
    }
}
