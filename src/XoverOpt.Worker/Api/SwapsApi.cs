using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Search;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Api;

/// <summary>Other receivers in the place of one that is out of a stored build.</summary>
internal static class SwapsApi
{
    private static readonly (string Word, bool OfTheJob)[] Drawers = [("worker", false), ("job", true)];

    /// <summary>Adds the route.</summary>
    public static void Map(IEndpointRouteBuilder routes) =>
        routes.MapPost("/api/jobs/{id}/builds/{rank:int}/swaps", Swaps)
            .WithSummary("What a build comes to with each of the nearest receivers in the place of one that is out")
            .WithDescription(
                "Body: receiver, the part number that is out; nearest, how many to try (1 to 50; 5 if left out); drawer, where to look for them: worker, the worker's "
                + "inventory as it is now (usual), or job, the inventory the job was run with.")
            .Accepts<System.Text.Json.Nodes.JsonObject>("application/json").Produces<SwapsView>()
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound)
            .ProducesProblem(StatusCodes.Status413PayloadTooLarge).ProducesProblem(StatusCodes.Status415UnsupportedMediaType).ProducesProblem(StatusCodes.Status503ServiceUnavailable)
            .RequireScope(Scope.Read);

    private static async Task<IResult> Swaps(string id, int rank, HttpRequest request, StoredBuilds builds, WorkerSettings settings, CancellationToken gone)
    {
        if (!request.HasJsonContentType())
        {
            return ApiProblems.Refuse("A question is posted as JSON.", [new FaultView("Content-Type", request.ContentType ?? "nothing", "application/json")], StatusCodes.Status415UnsupportedMediaType);
        }

        using MemoryStream body = new();
        await request.Body.CopyToAsync(body, gone).ConfigureAwait(false);
        if (builds.Find(id, rank, out ProblemHttpResult? answer) is not { } build)
        {
            return answer!;
        }

        FaultList faults = new();
        ObjectReader? asked = JsonSource.Parse(JobFile.PostedName, body.ToArray(), faults)?.AsObject("an object with the receiver that is out");
        string receiver = asked?.RequiredText("receiver") ?? "";
        int nearest = (int)(asked?.Whole("nearest", 1, SwapRun.Most) ?? SwapRun.UsualNearest);
        bool ofTheJob = asked?.Choice("drawer", Drawers) ?? false;
        asked?.Finish();
        if (faults.Count > 0)
        {
            return Refuse(faults.Items);
        }

        Reading<Inventory> drawer = ofTheJob ? new(build.Job.Inventory, []) : InventoryFile.Read(settings.InventoryRoot);
        if (!drawer.IsGood)
        {
            return ApiProblems.Refuse("The worker's inventory cannot be read.", drawer.Faults.Select(FaultView.Of), StatusCodes.Status503ServiceUnavailable);
        }

        Reading<ReceiverSwaps> swaps = SwapQuestion.Of(build, receiver, JobFile.PostedName, "/receiver", drawer.Value);
        return swaps.IsGood
            ? TypedResults.Ok(SwapsView.Of(swaps.Value, receiver, SwapRun.Of(swaps.Value, nearest, settings.Threads, gone)))
            : Refuse(swaps.Faults);
    }

    private static ProblemHttpResult Refuse(IEnumerable<Fault> faults) => ApiProblems.Refuse("The swaps cannot be tried.", faults.Select(FaultView.Of));
}
