using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Search;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Analyses;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Purchasing;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Worker.Api;

/// <summary>Counts, prices and reservations of the worker's inventory, and nothing outside it.</summary>
internal static class StockApi
{
    private const string By = "by";

    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/api/stock", List).WithSummary("Counts and prices of every part, and what is set aside; JSON or CSV").WithDescription($"Query: {SheetAnswer.About}")
            .Produces<StockView>().ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status503ServiceUnavailable).RequireScope(Scope.Read);
        routes.MapGet("/api/stock/history", History).WithSummary("Who changed what, oldest first").WithDescription("Query: part: of one part only.")
            .Produces<IReadOnlyList<StockEvent>>().ProducesProblem(StatusCodes.Status503ServiceUnavailable).RequireScope(Scope.Read);
        routes.MapPost("/api/stock/import", Import).WithSummary("Reads counts and prices in from CSV: all, or with any fault nothing; with dryRun it only says what would change")
            .WithDescription("Query: by: who asks for it. dryRun: true to change nothing. decimal: point or comma; told by what parts the cells where left out.")
            .Accepts<string>(SheetAnswer.Type).Produces<StockImportView>()
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status413PayloadTooLarge)
            .ProducesProblem(StatusCodes.Status415UnsupportedMediaType).ProducesProblem(StatusCodes.Status503ServiceUnavailable).RequireScope(Scope.Submit);
        routes.MapGet("/api/stock/reservations", Reservations).WithSummary("What is set aside, oldest first")
            .Produces<IReadOnlyList<Reservation>>().ProducesProblem(StatusCodes.Status503ServiceUnavailable).RequireScope(Scope.Read);
        routes.MapPost("/api/stock/reservations", Reserve).WithSummary("Sets the parts of a build aside")
            .Accepts<ReservationRequest>("application/json").Produces<Reservation>(StatusCodes.Status201Created)
            .ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status409Conflict)
            .ProducesProblem(StatusCodes.Status415UnsupportedMediaType).ProducesProblem(StatusCodes.Status503ServiceUnavailable).RequireScope(Scope.Submit);
        routes.MapDelete("/api/stock/reservations/{id}", Release).WithSummary("Ends a reservation; with built its parts go off the shelf")
            .WithDescription("Query: by: who asks for it. built: true where the parts were built in.")
            .Produces<Reservation>().ProducesProblem(StatusCodes.Status400BadRequest).ProducesProblem(StatusCodes.Status404NotFound)
            .ProducesProblem(StatusCodes.Status409Conflict).ProducesProblem(StatusCodes.Status503ServiceUnavailable).RequireScope(Scope.Submit);
    }

    /// <summary>The answer where the inventory cannot be read.</summary>
    public static ProblemHttpResult Unreadable(IReadOnlyList<Fault> faults) =>
        ApiProblems.Refuse("The worker's inventory cannot be read.", faults.Select(FaultView.Of), StatusCodes.Status503ServiceUnavailable);

    private static IResult List(HttpRequest request, WorkerSettings settings)
    {
        List<FaultView> faults = [.. SheetAnswer.Unknown(request.Query, SheetAnswer.Names)];
        SheetAnswer answer = SheetAnswer.Read(request, faults);
        if (faults.Count > 0)
        {
            return ApiProblems.Refuse("The query is wrong.", faults);
        }

        Reading<Inventory> drawer = InventoryFile.Read(settings.InventoryRoot);
        Reading<StockBook> book = StockBookFile.In(settings.InventoryRoot);
        return !drawer.IsGood || !book.IsGood ? Unreadable([.. drawer.Faults, .. book.Faults])
            : answer.Csv is { } dialect ? answer.File(StockSheet.Rows(drawer.Value, book.Value.Revision, dialect), "stock.csv")
            : TypedResults.Ok(StockView.Of(drawer.Value, book.Value.Revision));
    }

    private static IResult History(string? part, WorkerSettings settings, TimeProvider clock)
    {
        Reading<IReadOnlyList<StockEvent>> history = new StockDesk(settings.InventoryRoot, clock).History();
        return history.IsGood
            ? TypedResults.Ok(history.Value.Where(made => part is null || made.Changes.Any(change => change.Part == part)).ToArray())
            : Unreadable(history.Faults);
    }

    private static async Task<IResult> Import(HttpRequest request, WorkerSettings settings, TimeProvider clock)
    {
        if (BenchApi.NotCsv(request) is { } refusal)
        {
            return refusal;
        }

        List<FaultView> faults = [.. SheetAnswer.Unknown(request.Query, By, "dryRun", "decimal")];
        string who = Who(request, faults);
        bool dryRun = Flag(request, "dryRun", faults);
        string? sign = request.Query["decimal"];
        if (sign is not null && SheetDialect.Named(sign) is null)
        {
            faults.Add(new("decimal", sign, string.Join(" or ", SheetDialect.Names)));
        }

        if (faults.Count > 0)
        {
            return ApiProblems.Refuse("The query is wrong.", faults);
        }

        using MemoryStream body = new();
        await request.Body.CopyToAsync(body, request.HttpContext.RequestAborted).ConfigureAwait(false);
        return Written(() =>
        {
            Reading<StockImport> import = new StockDesk(settings.InventoryRoot, clock).Import(body.ToArray(), JobFile.PostedName, SheetDialect.Named(sign), who, dryRun);
            return import.IsGood
                ? TypedResults.Ok(new StockImportView(!dryRun && import.Value.Changes.Count > 0, import.Value.Changes, import.Value.Notes))
                : ApiProblems.Refuse("The sheet is wrong; nothing was changed.", import.Faults.Select(FaultView.Of));
        });
    }

    private static IResult Reservations(WorkerSettings settings)
    {
        Reading<StockBook> book = StockBookFile.In(settings.InventoryRoot);
        return book.IsGood ? TypedResults.Ok(book.Value.Reservations) : Unreadable(book.Faults);
    }

    private static async Task<IResult> Reserve(HttpRequest request, StoredBuilds builds, WorkerSettings settings, TimeProvider clock)
    {
        if (!request.HasJsonContentType())
        {
            return TypedResults.Problem("A reservation is posted as JSON.", statusCode: StatusCodes.Status415UnsupportedMediaType);
        }

        using MemoryStream body = new();
        await request.Body.CopyToAsync(body, request.HttpContext.RequestAborted).ConfigureAwait(false);
        Reading<ReservationRequest> asked = ReservationRequest.Read(body.ToArray());
        if (!asked.IsGood)
        {
            return ApiProblems.Refuse("The reservation is wrong.", asked.Faults.Select(FaultView.Of));
        }

        if (builds.Find(asked.Value.Run, asked.Value.Rank, out ProblemHttpResult? problem) is not { } built)
        {
            return problem!;
        }

        PartsOrder order = new PartsQuestion(asked.Value.Sets, EarpiecesPerSet: asked.Value.EarpiecesPerSet).Order(built.Job.Problem.Limits, clock);
        return Written(() =>
        {
            Reading<Reservation> made = new StockDesk(settings.InventoryRoot, clock)
                .Reserve(built.Build.Earpiece, PartsView.Label(asked.Value.Rank, built.Job.Problem.Name), order, asked.Value.By, asked.Value.WhatIsThere);
            return made.IsGood
                ? TypedResults.Created($"/api/stock/reservations/{made.Value.Id}", made.Value)
                : ApiProblems.Refuse("Nothing was set aside.", made.Faults.Select(FaultView.Of), StatusCodes.Status409Conflict);
        });
    }

    private static IResult Release(string id, HttpRequest request, WorkerSettings settings, TimeProvider clock)
    {
        List<FaultView> faults = [.. SheetAnswer.Unknown(request.Query, By, "built")];
        string who = Who(request, faults);
        bool built = Flag(request, "built", faults);
        if (faults.Count > 0)
        {
            return ApiProblems.Refuse("The query is wrong.", faults);
        }

        return Written(() =>
        {
            Reading<Reservation> released = new StockDesk(settings.InventoryRoot, clock).Release(id, who, built);
            return released.IsGood ? TypedResults.Ok(released.Value)
                : released.Faults.Count == 0 ? ApiProblems.NotFound($"There is no reservation '{id}'.")
                : ApiProblems.Refuse("The reservation stays.", released.Faults.Select(FaultView.Of), StatusCodes.Status409Conflict);
        });
    }

    private static string Who(HttpRequest request, List<FaultView> faults)
    {
        string who = request.Query[By] is [{ } name] ? name : "";
        if (StockDesk.NameFault(who) is { } fault)
        {
            faults.Add(new(By, fault.Found, fault.Allowed));
        }

        return who;
    }

    private static bool Flag(HttpRequest request, string key, List<FaultView> faults)
    {
        string? word = request.Query[key];
        if (word is not (null or "true" or "false"))
        {
            faults.Add(new(key, word, "true or false"));
        }

        return word == "true";
    }

    // Where the folder lies is nobody's business outside.
    private static IResult Written(Func<IResult> change)
    {
        try
        {
            return change();
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            return ApiProblems.Refuse("The worker's stock book cannot be written now; nothing was changed.", [], StatusCodes.Status503ServiceUnavailable);
        }
    }
}

/// <summary>The stock of the worker's inventory.</summary>
/// <param name="Revision">Revision of the stock book; 0 where there is none.</param>
/// <param name="InventoryHash">SHA-256 of the whole inventory, as results name it.</param>
/// <param name="Parts">The parts.</param>
/// <param name="Reservations">What is set aside.</param>
public sealed record StockView(long Revision, string InventoryHash, IReadOnlyList<StockPartView> Parts, IReadOnlyList<Reservation> Reservations)
{
    internal static StockView Of(Inventory drawer, long revision)
    {
        IReadOnlyDictionary<string, decimal> reserved = Reservation.Sum(drawer.Reservations);
        return new(revision, drawer.Hash, [.. StockPart.Of(drawer).Select(part => new StockPartView(part.Part, part.Kind, part.Description, part.Unit, reserved.GetValueOrDefault(part.Part), part.Supply))], drawer.Reservations);
    }
}

/// <summary>A part of the stock.</summary>
/// <param name="Part">Its name.</param>
/// <param name="Kind">What it is.</param>
/// <param name="Description">Maker, or value in words.</param>
/// <param name="Unit">"pieces" or "m".</param>
/// <param name="Reserved">Set aside.</param>
/// <param name="Supply">Price and stock; absent where nothing is known.</param>
public sealed record StockPartView(string Part, PartKind Kind, string Description, string Unit, decimal Reserved, Supply? Supply);

/// <summary>What reading a sheet in changed, or would change.</summary>
/// <param name="Written">Whether anything was changed.</param>
/// <param name="Changes">What changed, or would.</param>
/// <param name="Notes">What should be known.</param>
public sealed record StockImportView(bool Written, IReadOnlyList<StockChange> Changes, IReadOnlyList<string> Notes);
