using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Search;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Analyses;
using XoverOpt.Worker.Commands;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Api;

/// <summary>Levels, other sources and other ears of a stored build.</summary>
internal static class LevelsApi
{
    private const string Field = "field";

    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        Describe(routes.MapGet("/api/jobs/{id}/builds/{rank:int}/levels", Levels), "Level budget of a build, from the desk to the eardrum", LevelInput.All, $"{Field}: {string.Join(" or ", LevelInput.Fields)}.");
        Describe(routes.MapGet("/api/jobs/{id}/builds/{rank:int}/sources", Sources), "A build on other sources", SourceInput.All);
        Describe(routes.MapGet("/api/jobs/{id}/builds/{rank:int}/ears", Ears), "A build in other ears", EarInput.All);
    }

    private static void Describe(RouteHandlerBuilder route, string summary, IReadOnlyList<NumberSetting> settings, string more = "") => route
        .WithSummary(summary)
        .WithDescription("Query: " + string.Join(" ", settings.Select(setting => $"{setting.Name}: {setting.About}").Append(more)).TrimEnd())
        .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound)
        .RequireScope(Scope.Read);

    private static Results<Ok<BuildAnalysis<LevelBudget>>, ProblemHttpResult> Levels(string id, int rank, HttpRequest request, StoredBuilds builds)
    {
        string field = request.Query[Field] is [{ } one] ? one : LevelInput.Fields[0];
        FaultView[] faults = LevelInput.Fields.Contains(field) ? [] : [new(Field, field, string.Join(" or ", LevelInput.Fields))];
        return Answer(id, rank, request, builds, LevelInput.All, [Field], faults, LevelText.Notes, (build, given) =>
            LevelBudget.Of(build.Build.Earpiece, build.Job.Problem, LevelInput.Settings(given, field, build.Job.Problem)));
    }

    private static Results<Ok<BuildAnalysis<SourceSpread>>, ProblemHttpResult> Sources(string id, int rank, HttpRequest request, StoredBuilds builds) =>
        Answer(id, rank, request, builds, SourceInput.All, [], [], SourceText.Notes, (build, given) =>
            SourceSpread.Of(build.Build.Earpiece, build.Job.Problem, SourceInput.Settings(given)));

    private static Results<Ok<BuildAnalysis<EarSpread>>, ProblemHttpResult> Ears(string id, int rank, HttpRequest request, StoredBuilds builds) =>
        Answer(id, rank, request, builds, EarInput.All, [], [], EarText.Notes, (build, given) =>
            EarSpread.Of(build.Build.Earpiece, build.Job.Problem, EarInput.Settings(given)));

    private static Results<Ok<BuildAnalysis<T>>, ProblemHttpResult> Answer<T>(
        string id,
        int rank,
        HttpRequest request,
        StoredBuilds builds,
        IReadOnlyList<NumberSetting> settings,
        IReadOnlyList<string> words,
        IEnumerable<FaultView> more,
        IReadOnlyList<string> notes,
        Func<BuildInJob, GivenNumbers, T> analyse)
    {
        string[] known = [.. settings.Select(setting => setting.Name), .. words];
        List<FaultView> faults = [.. more, .. request.Query.Keys.Where(key => !known.Contains(key)).Select(key => new FaultView(key, key, string.Join(", ", known)))];
        Dictionary<string, double[]?> read = settings.ToDictionary(setting => setting.Name, setting => setting.Read(request.Query, faults));
        if (faults.Count > 0)
        {
            return ApiProblems.Refuse("The query is wrong.", faults);
        }

        return builds.Find(id, rank, out ProblemHttpResult? answer) is { } build
            ? TypedResults.Ok(new BuildAnalysis<T>(FormattableString.Invariant($"build {rank}"), notes, analyse(build, new(setting => read[setting.Name]))))
            : answer!;
    }
}
