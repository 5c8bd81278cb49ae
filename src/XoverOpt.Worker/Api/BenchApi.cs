using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Search;
using XoverOpt.Worker.Access;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Matching;

namespace XoverOpt.Worker.Api;

/// <summary>What the test bench asks: receivers into pairs, a built unit against its build.</summary>
internal static class BenchApi
{
    private const string Csv = "text/csv";

    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapPost("/api/pairs", Pairs).WithSummary("Measured receivers (CSV) sorted into left and right; for a build where job and build are given")
            .Accepts<string>(Csv).Produces<PairView>()
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound)
            .ProducesProblem(StatusCodes.Status413PayloadTooLarge).ProducesProblem(StatusCodes.Status415UnsupportedMediaType)
            .RequireScope(Scope.Read);
        routes.MapPost("/api/jobs/{id}/builds/{rank:int}/inspect", Inspect).WithSummary("A measured curve (CSV) of a built unit against its build: pass or fail, and the likely fault")
            .Accepts<string>(Csv).Produces<InspectionView>()
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound)
            .ProducesProblem(StatusCodes.Status413PayloadTooLarge).ProducesProblem(StatusCodes.Status415UnsupportedMediaType)
            .RequireScope(Scope.Read);
    }

    private static async Task<IResult> Pairs(HttpRequest request, StoredBuilds builds, double? limitDb, int? sets, string? job, int? build)
    {
        if (NotCsv(request) is { } refusal)
        {
            return refusal;
        }

        List<FaultView> wrong = [];
        if (limitDb is not (null or (> 0 and <= 100)))
        {
            wrong.Add(new("limitDb", FormattableString.Invariant($"{limitDb}"), "above 0, at most 100 dB"));
        }

        if (sets < 1)
        {
            wrong.Add(new("sets", FormattableString.Invariant($"{sets}"), "1 or more"));
        }

        if (job is null != build is null)
        {
            wrong.Add(new("job, build", "one without the other", "both or neither"));
        }

        if (wrong.Count > 0)
        {
            return ApiProblems.Refuse("The question is wrong.", wrong);
        }

        Reading<IReadOnlyList<MeasuredReceiver>> receivers = SerialsFile.Read(await Body(request).ConfigureAwait(false), JobFile.PostedName);
        if (!receivers.IsGood)
        {
            return ApiProblems.Refuse("The list of receivers is wrong.", receivers.Faults.Select(FaultView.Of));
        }

        double limit = limitDb ?? PairView.UsualLimitDb;
        if (job is null)
        {
            return TypedResults.Ok(PairView.Of(PairSolver.Pairs(receivers.Value, limit, sets)));
        }

        return builds.Find(job, build!.Value, out ProblemHttpResult? answer) is { } built
            ? TypedResults.Ok(PairView.Of(PairSolver.Sets(receivers.Value, MatchGroup.OfBuild(built.Build.Earpiece, built.Job.Problem), limit, sets)))
            : answer!;
    }

    private static async Task<IResult> Inspect(string id, int rank, HttpRequest request, StoredBuilds builds)
    {
        if (NotCsv(request) is { } refusal)
        {
            return refusal;
        }

        if (builds.Find(id, rank, out ProblemHttpResult? answer) is not { } built)
        {
            return answer!;
        }

        Reading<MeasuredCurve> curve = MeasuredFile.Parse(await Body(request).ConfigureAwait(false), JobFile.PostedName);
        Reading<UnitMeasurement> unit = curve.IsGood ? MeasuredUnit.Of(curve.Value, JobFile.PostedName) : new(null, curve.Faults);
        return unit.IsGood
            ? TypedResults.Ok(InspectionView.Of(UnitInspection.Inspect(built.Build.Earpiece, built.Job.Problem, unit.Value, new BenchNoise()), unit.Value))
            : ApiProblems.Refuse("The measured curve is wrong.", unit.Faults.Select(FaultView.Of));
    }

    /// <summary>A page of another site can send plain text here from a browser, but not text/csv.</summary>
    public static ProblemHttpResult? NotCsv(HttpRequest request) => request.ContentType?.Split(';')[0].Trim().ToLowerInvariant() == Csv
        ? null
        : ApiProblems.Refuse("This is posted as CSV.", [new FaultView("Content-Type", request.ContentType ?? "nothing", Csv)], StatusCodes.Status415UnsupportedMediaType);

    private static async Task<byte[]> Body(HttpRequest request)
    {
        using MemoryStream body = new();
        await request.Body.CopyToAsync(body, request.HttpContext.RequestAborted).ConfigureAwait(false);
        return body.ToArray();
    }
}
