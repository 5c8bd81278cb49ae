using System.Globalization;
using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>Where a part is used, and what goes if it goes.</summary>
internal static class PartUsesApi
{
    /// <summary>Most entries of a page.</summary>
    public const int MaxPage = 200;

    private const int UsualPage = 50;

    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/api/parts/{part}/uses", Uses).WithSummary("Every stored build that uses a part, in pages; a part without a number is named by kind and value, such as resistor 39 Ω")
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound).RequireScope(Scope.Read);
        routes.MapGet("/api/receivers/{partNumber}/uses", (string partNumber, IPartUses uses, WorkerSettings settings, string? after = null, string? limit = null) => Uses(partNumber, uses, settings, after, limit))
            .WithSummary("Every stored build that uses a receiver, in pages: the same as for any part")
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound).RequireScope(Scope.Read);
        routes.MapGet("/api/parts/{part}/without", Without).WithSummary("What each job loses if a part goes: builds that need it, in its latest run and in all, and the best that does not")
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound).RequireScope(Scope.Read);
    }

    private static Results<Ok<PartUsesPage>, ProblemHttpResult> Uses(string part, IPartUses uses, WorkerSettings settings, string? after = null, string? limit = null)
    {
        List<FaultView> faults = [];
        int take = Limit(limit, faults);
        string[] place = after?.Split(':') ?? [];
        int rank = 0;
        if (after is not null && (place.Length != 2 || !int.TryParse(place[1], NumberStyles.None, CultureInfo.InvariantCulture, out rank)))
        {
            faults.Add(new("after", after, "the id of a job, a colon and a rank, as in the address of the next page"));
        }

        return Answer(part, uses, settings, faults, (answers, name) => answers.Uses(name, after is null ? null : new(place[0], rank), take));
    }

    private static Results<Ok<PartWithoutPage>, ProblemHttpResult> Without(string part, IPartUses uses, WorkerSettings settings, string? after = null, string? limit = null)
    {
        List<FaultView> faults = [];
        int take = Limit(limit, faults);
        return Answer(part, uses, settings, faults, (answers, name) => answers.Without(name, after, take));
    }

    private static int Limit(string? limit, List<FaultView> faults)
    {
        int take = UsualPage;
        if (limit is not null && (!int.TryParse(limit, NumberStyles.None, CultureInfo.InvariantCulture, out take) || take is < 1 or > MaxPage))
        {
            faults.Add(new("limit", limit, $"a whole number from 1 to {MaxPage}"));
        }

        return take;
    }

    private static Results<Ok<T>, ProblemHttpResult> Answer<T>(string part, IPartUses uses, WorkerSettings settings, List<FaultView> faults, Func<PartUseAnswers, string, T> answer)
    {
        if (faults.Count > 0)
        {
            return ApiProblems.Refuse("The list cannot be given like this.", faults);
        }

        // A slash in a name stays as it was written in the address.
        PartUseAnswers answers = new(uses, () => InventoryFile.Read(settings.InventoryRoot).Value);
        return answers.Name(part.Replace("%2F", "/", StringComparison.OrdinalIgnoreCase), out Fault? fault) is { } name
            ? TypedResults.Ok(answer(answers, name))
            : ApiProblems.Refuse("There is no such part.", [new(fault!.File, fault.Found, fault.Allowed, fault.Hint)], StatusCodes.Status404NotFound);
    }
}
