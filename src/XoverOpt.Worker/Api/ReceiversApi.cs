using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Api;

/// <summary>What is in the drawer.</summary>
internal static class ReceiversApi
{
    /// <summary>Adds the route.</summary>
    public static void Map(IEndpointRouteBuilder routes) =>
        routes.MapGet("/api/receivers", List).WithSummary("The receivers of the worker's inventory, as receiver files")
            .ProducesProblem(StatusCodes.Status503ServiceUnavailable).RequireScope(Scope.Read);

    private static Results<Ok<ReceiverList>, ProblemHttpResult> List(WorkerSettings settings)
    {
        Reading<Inventory> inventory = InventoryFile.Read(settings.InventoryRoot);
        return inventory.IsGood
            ? TypedResults.Ok(new ReceiverList(
                inventory.Value.Hash,
                [.. JsonNode.Parse(inventory.Value.Json)!.AsArray().OfType<JsonObject>().Where(item => (string?)item["format"] == "receiver/1")]))
            : ApiProblems.Refuse(
                "The worker's inventory cannot be read.", inventory.Faults.Select(FaultView.Of), StatusCodes.Status503ServiceUnavailable);
    }
}

/// <summary>The receivers of the worker's inventory.</summary>
/// <param name="InventoryHash">SHA-256 of the whole inventory, as results name it.</param>
/// <param name="Receivers">Receiver files.</param>
public sealed record ReceiverList(string InventoryHash, IReadOnlyList<JsonObject> Receivers);
