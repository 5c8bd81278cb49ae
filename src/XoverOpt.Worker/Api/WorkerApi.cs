using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>The worker as a whole.</summary>
internal static class WorkerApi
{
    /// <summary>Adds the routes.</summary>
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/api/worker", View).WithSummary("Version, jobs in each state, whether it is paused").RequireScope(Scope.Read);
        routes.MapPost("/api/worker/pause", Pause)
            .WithSummary("Begins nothing more and gives back what is worked on at its last checkpoint, in every process on this store and across restarts").RequireScope(Scope.Admin);
        routes.MapPost("/api/worker/resume", Resume).WithSummary("Goes on after a pause").RequireScope(Scope.Admin);
    }

    private static Ok<WorkerView> Pause(IRunStore store, IWorkerPause pause, WorkerSettings settings)
    {
        pause.Pause("API");
        return View(store, pause, settings);
    }

    private static Ok<WorkerView> Resume(IRunStore store, IWorkerPause pause, WorkerSettings settings)
    {
        pause.GoOn();
        return View(store, pause, settings);
    }

    private static Ok<WorkerView> View(IRunStore store, IWorkerPause pause, WorkerSettings settings) => TypedResults.Ok(ViewOf(store, pause, settings));

    /// <summary>How the worker is now.</summary>
    internal static WorkerView ViewOf(IRunStore store, IWorkerPause pause, WorkerSettings settings)
    {
        PauseRecord? current = pause.Current();
        return new WorkerView(
            BuildFile.ProgramVersion,
            current is not null,
            current?.Since,
            current?.Who,
            settings.RunsAtOnce,
            settings.Threads,
            store.Count().ToDictionary(pair => RunStateText.Of(pair.Key), pair => pair.Value));
    }
}

/// <summary>How the worker is.</summary>
/// <param name="Version">Version of the program.</param>
/// <param name="Paused">Whether it is paused.</param>
/// <param name="PausedSince">Since when; absent while it works.</param>
/// <param name="PausedBy">Who asked for it; absent while it works.</param>
/// <param name="RunsAtOnce">Jobs this process works on at once.</param>
/// <param name="Threads">Threads that evaluate at once in a job.</param>
/// <param name="Runs">Jobs in each state.</param>
public sealed record WorkerView(
    string Version, bool Paused, DateTimeOffset? PausedSince, string? PausedBy, int RunsAtOnce, int Threads, IReadOnlyDictionary<string, int> Runs);
