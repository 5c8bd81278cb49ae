using System.Globalization;
using XoverOpt.Worker.Api;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>The build that a form names by run and rank, and the runs it may name.</summary>
internal sealed record ChosenBuild
{
    private const int Offered = 30;

    /// <summary>The latest runs that may have builds, newest first.</summary>
    public required IReadOnlyList<RunRecord> Runs { get; init; }

    /// <summary>The run; empty where none was named.</summary>
    public string RunId { get; init; } = "";

    /// <summary>The rank as it was given.</summary>
    public string Rank { get; init; } = "1";

    /// <summary>The build; null where there is none such.</summary>
    public BuildInJob? Build { get; init; }

    /// <summary>What is wrong with the choice; null where nothing is.</summary>
    public string? Fault { get; init; }

    /// <summary>The choice a form makes.</summary>
    public static ChosenBuild Of(IRunStore store, StoredBuilds builds, string? run, string? rank)
    {
        IReadOnlyList<RunRecord> latest = [.. store.List(null, null, Offered).Where(one => one.State is RunState.Done or RunState.Stopped or RunState.Running)];
        ChosenBuild none = new() { Runs = latest, RunId = run ?? "", Rank = rank ?? "1" };
        if (string.IsNullOrWhiteSpace(run))
        {
            return none;
        }

        if (store.Find(run) is not { } found)
        {
            return none with { Fault = $"There is no run '{run}'." };
        }

        none = none with { Runs = latest.Any(one => one.Id == run) ? latest : [found, .. latest] };
        return int.TryParse(none.Rank, NumberStyles.None, CultureInfo.InvariantCulture, out int number) && store.Build(run, number) is not null
            ? none with { Build = builds.Find(run, number, out _) }
            : none with { Fault = $"That run has no build '{none.Rank}'." };
    }
}
