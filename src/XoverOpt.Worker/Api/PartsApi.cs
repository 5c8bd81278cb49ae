using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Analyses;
using XoverOpt.Worker.Commands;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Worker.Api;

/// <summary>What to buy: for a build, and for several.</summary>
internal static class PartsApi
{
    private const string Drawer = "drawer";

    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/api/jobs/{id}/builds/{rank:int}/parts", Parts)
            .WithSummary("Parts of a build for so many sets: need, stock, order, price, dates, and whether they are there in time; JSON or CSV")
            .WithDescription("Query: sets: as many as the job asks for where left out. by: the day by which all must be there. orderOn: the day of the order; today where left out. "
                + "earpiecesPerSet: as the job says, or 2, where left out. cutLossMm: tubing lost at each cut; 1 where left out. "
                + $"{Drawer}: now, the worker's inventory as it stands, or stored, the inventory kept with the job; now where left out. {SheetAnswer.About}")
            .Produces<PartsView>().ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status503ServiceUnavailable)
            .RequireScope(Scope.Read);
        routes.MapPost("/api/bench-plan", Plan).WithSummary("Several builds from one stock (bench-plan/1): one order, the parts they fight for, what can be built today; nothing is kept")
            .WithDescription($"Query: {SheetAnswer.About}")
            .Accepts<System.Text.Json.Nodes.JsonObject>("application/json").Produces<BenchPlanView>()
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status413PayloadTooLarge)
            .ProducesProblem(StatusCodes.Status415UnsupportedMediaType).ProducesProblem(StatusCodes.Status503ServiceUnavailable)
            .RequireScope(Scope.Read);
    }

    private static IResult Parts(string id, int rank, HttpRequest request, StoredBuilds builds, WorkerSettings settings, TimeProvider clock)
    {
        List<FaultView> faults = [.. SheetAnswer.Unknown(request.Query, [.. PartsQuestion.Names, Drawer, .. SheetAnswer.Names])];
        PartsQuestion question = PartsQuestion.Read(request.Query, faults);
        SheetAnswer answer = SheetAnswer.Read(request, faults);
        string which = request.Query[Drawer] is [{ } word] ? word : "now";
        if (which is not ("now" or "stored"))
        {
            faults.Add(new(Drawer, which, "now or stored"));
        }

        if (faults.Count > 0)
        {
            return ApiProblems.Refuse("The query is wrong.", faults);
        }

        if (builds.Find(id, rank, out ProblemHttpResult? problem) is not { } built)
        {
            return problem!;
        }

        Reading<Inventory> drawer = which == "stored" ? new(built.Job.Inventory, []) : InventoryFile.Read(settings.InventoryRoot);
        if (!drawer.IsGood)
        {
            return StockApi.Unreadable(drawer.Faults);
        }

        var view = PartsView.Of(PartsView.Label(rank, built.Job.Problem.Name), built.Build.Earpiece, drawer.Value, question.Order(built.Job.Problem.Limits, clock));
        return answer.Csv is null
            ? TypedResults.Ok(view)
            : answer.File(PartsSheet.Rows(view.Parts), FormattableString.Invariant($"parts-build-{rank}-{view.Parts.Order.Sets}-sets.csv"));
    }

    private static async Task<IResult> Plan(HttpRequest request, StoredBuilds builds, WorkerSettings settings, TimeProvider clock)
    {
        if (!request.HasJsonContentType())
        {
            return TypedResults.Problem("A bench plan is posted as JSON.", statusCode: StatusCodes.Status415UnsupportedMediaType);
        }

        List<FaultView> faults = [.. SheetAnswer.Unknown(request.Query, SheetAnswer.Names)];
        SheetAnswer answer = SheetAnswer.Read(request, faults);
        if (faults.Count > 0)
        {
            return ApiProblems.Refuse("The query is wrong.", faults);
        }

        using MemoryStream body = new();
        await request.Body.CopyToAsync(body, request.HttpContext.RequestAborted).ConfigureAwait(false);
        Reading<BenchPlanDocument> plan = BenchPlanFile.ReadPosted(body.ToArray());
        if (!plan.IsGood)
        {
            return ApiProblems.Refuse("The bench plan is wrong.", plan.Faults.Select(fault => FaultView.Of(fault) with { File = null }));
        }

        List<WantedBuild> wanted = [];
        for (int b = 0; b < plan.Value.Builds.Count; b++)
        {
            BenchPlanBuild asked = plan.Value.Builds[b];
            if (asked.Run is null)
            {
                faults.Add(new(FormattableString.Invariant($"/builds/{b}"), "a build of files", "a build of a run: \"run\" and \"rank\"", "A worker reads no files for a plan."));
            }
            else if (builds.Find(asked.Run, asked.Rank!.Value, out ProblemHttpResult? problem) is not { } built)
            {
                faults.Add(new(FormattableString.Invariant($"/builds/{b}"), $"\"{asked.Run}\"", "a run of this worker and the rank of one of its builds", problem!.ProblemDetails.Detail));
            }
            else
            {
                wanted.Add(new(BenchPlanCommand.Named(wanted, PartsView.Label(asked.Rank, built.Job.Problem.Name)), built.Build.Earpiece, asked.Sets, asked.Priority));
            }
        }

        if (faults.Count > 0)
        {
            return ApiProblems.Refuse("The bench plan is wrong.", faults);
        }

        Reading<Inventory> drawer = InventoryFile.Read(settings.InventoryRoot);
        if (!drawer.IsGood)
        {
            return StockApi.Unreadable(drawer.Faults);
        }

        var view = BenchPlanView.Of(plan.Value.Name, BenchPlan.Of(wanted, drawer.Value, BenchPlanCommand.Order(plan.Value, clock)));
        return answer.Csv is null ? TypedResults.Ok(view) : answer.File(PartsSheet.Rows(view.Plan.Together), "bench-plan.csv");
    }
}
