using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Search;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Api;

/// <summary>What can be made of measurements: receiver parameters, and curves side by side. Nothing is kept.</summary>
internal static class MeasurementsApi
{
    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        foreach (RouteHandlerBuilder route in new[]
        {
            routes.MapPost("/api/fits", Fit).WithSummary("Fits receiver parameters to a measurements file whose curves stand in it"),
            routes.MapPost("/api/curves", Compare).WithSummary("Figures of measured curves, and builds beside them, on one grid"),
        })
        {
            route.Accepts<System.Text.Json.Nodes.JsonObject>("application/json").Produces<System.Text.Json.Nodes.JsonObject>()
                .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status413PayloadTooLarge).ProducesProblem(StatusCodes.Status415UnsupportedMediaType)
                .RequireScope(Scope.Read);
        }
    }

    private static async Task<Results<ContentHttpResult, ProblemHttpResult>> Fit(HttpRequest request)
    {
        if (await Body(request).ConfigureAwait(false) is not { } body)
        {
            return NotJson();
        }

        Reading<FitDocument> reading = FitFile.ReadPosted(body);
        return reading.IsGood
            ? TypedResults.Text(FitResultFile.Write(reading.Value, ReceiverFit.Of(reading.Value.Problem)), "application/json")
            : ApiProblems.Refuse("The measurements are wrong.", reading.Faults.Select(FaultView.Of));
    }

    private static async Task<Results<ContentHttpResult, ProblemHttpResult>> Compare(HttpRequest request, WorkerSettings settings)
    {
        if (await Body(request).ConfigureAwait(false) is not { } body)
        {
            return NotJson();
        }

        Reading<MeasuredRequest> reading = MeasuredRequest.ReadPosted(body, settings.InventoryRoot);
        return reading.IsGood
            ? TypedResults.Text(MeasuredComparison.Json(reading.Value.Judge(), [.. reading.Value.Curves.Select(curve => curve.Remarks)]), "application/json")
            : ApiProblems.Refuse("The curves are wrong.", reading.Faults.Select(FaultView.Of));
    }

    private static ProblemHttpResult NotJson() => TypedResults.Problem("Measurements are posted as JSON.", statusCode: StatusCodes.Status415UnsupportedMediaType);

    /// <summary>The body; null where it is not JSON, which a page of another site could send from a browser.</summary>
    private static async Task<byte[]?> Body(HttpRequest request)
    {
        if (!request.HasJsonContentType())
        {
            return null;
        }

        using MemoryStream body = new();
        await request.Body.CopyToAsync(body, request.HttpContext.RequestAborted).ConfigureAwait(false);
        return body.ToArray();
    }
}
