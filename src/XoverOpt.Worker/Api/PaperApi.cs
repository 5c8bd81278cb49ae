using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Search;
using XoverOpt.Worker.Access;
using XoverOpt.Workshop.Paperwork;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>The papers of a stored build: build sheet, netlist, drawings.</summary>
internal static class PaperApi
{
    private const string Sheet = "text/html; charset=utf-8", Netlist = "text/plain; charset=utf-8", Drawing = "image/svg+xml";

    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        Describe(routes.MapGet("/api/jobs/{id}/builds/{rank:int}/sheet", GetSheet), "One printed page to build and test by: parts, cuts, wiring, drawings, limits, checks", "text/html");
        Describe(routes.MapGet("/api/jobs/{id}/builds/{rank:int}/netlist", GetNetlist), "The build as a netlist of general SPICE syntax", "text/plain");
        Describe(routes.MapGet("/api/jobs/{id}/builds/{rank:int}/drawings/{kind}.svg", GetDrawing), $"A drawing of the build: {string.Join(", ", BuildDrawings.Names)}", Drawing);
    }

    private static void Describe(RouteHandlerBuilder route, string summary, string type) => route.WithSummary(summary)
        .Produces<string>(contentType: type).ProducesProblem(StatusCodes.Status404NotFound).RequireScope(Scope.Read);

    private static IResult GetSheet(string id, int rank, StoredBuilds builds, IRunStore store, HttpContext context)
    {
        if (builds.Find(id, rank, out ProblemHttpResult? answer) is not { } build)
        {
            return answer!;
        }

        UnitLimits limits = BuildDrawings.Limits(build, Environment.ProcessorCount, context.RequestAborted);

        // Nothing may be fetched or run, and no style but the page's own.
        context.Response.Headers.ContentSecurityPolicy = $"default-src 'none'; style-src {BuildSheet.StyleHash}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
        return TypedResults.Text(BuildSheet.Html(build, limits, BuildDrawings.LimitsWords, new(id, rank, store.Find(id)?.Seed)), Sheet);
    }

    private static IResult GetNetlist(string id, int rank, StoredBuilds builds) => builds.Find(id, rank, out ProblemHttpResult? answer) is { } build
        ? TypedResults.Text(SpiceNetlist.Write(build), Netlist)
        : answer!;

    private static IResult GetDrawing(string id, int rank, string kind, StoredBuilds builds, CancellationToken gone)
    {
        if (!BuildDrawings.Names.Contains(kind))
        {
            return ApiProblems.NotFound($"There is no drawing '{kind}'; there is {string.Join(", ", BuildDrawings.Names)}.");
        }

        return builds.Find(id, rank, out ProblemHttpResult? answer) is { } build
            ? TypedResults.Text(BuildDrawings.Svg(kind, build, Environment.ProcessorCount, gone), Drawing)
            : answer!;
    }
}
