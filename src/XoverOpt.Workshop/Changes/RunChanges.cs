using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Changes;

/// <summary>What changed from one run to another: what was asked, what was in the drawer, what became of the builds and why.</summary>
public sealed record RunChanges
{
    /// <summary>What must be said where levels are shown.</summary>
    public string Caution { get; } = BuildFile.Caution;

    /// <summary>The earlier run.</summary>
    public required RunSummary Old { get; init; }

    /// <summary>The later run.</summary>
    public required RunSummary New { get; init; }

    /// <summary>Where this program reckons otherwise than the one that made a run, in words; null where it does not.</summary>
    public string? Program { get; init; }

    /// <summary>What the jobs differ in, but for the drawer.</summary>
    public required IReadOnlyList<JobChange> Job { get; init; }

    /// <summary>What the drawers differ in.</summary>
    public required IReadOnlyList<DrawerChange> Drawer { get; init; }

    /// <summary>What became of every build: those of the earlier run in their order, then the new ones.</summary>
    public required IReadOnlyList<BuildChange> Builds { get; init; }

    /// <summary>Figures of the best build of the earlier run; null where it found none.</summary>
    public BuildSide? OldBest { get; init; }

    /// <summary>Figures of the best build of the later run; null where it found none.</summary>
    public BuildSide? NewBest { get; init; }

    /// <summary>How the response of the best build differs; null where a run found none.</summary>
    public ResponseDifference? Response { get; init; }

    /// <summary>The parts in which one earpiece of the best builds differs.</summary>
    public required IReadOnlyList<PartDifference> Parts { get; init; }

    /// <summary>What the later run's best build shares with the earlier one's, or with the build it starts from; null where a run found none.</summary>
    public SharedParts? Shared { get; init; }

    /// <summary>Compares two runs. Takes a second or so: every build that is in one list only is judged anew.</summary>
    /// <param name="old">The earlier run.</param>
    /// <param name="now">The later run.</param>
    public static RunChanges Between(KeptRun old, KeptRun now)
    {
        IReadOnlyList<JobChange> job = JobChange.Between(old.Job.SelfContainedJson, now.Job.SelfContainedJson);
        IReadOnlyList<DrawerChange> drawer = DrawerChange.Between(old.Job.Inventory, now.Job.Inventory);
        BuildChanges builds = new(old, now, job, drawer);
        RankedBuild? first = builds.Before.Count > 0 ? builds.Before[0] : null, second = builds.After.Count > 0 ? builds.After[0] : null;
        RunChanges changes = new()
        {
            Old = RunSummary.Of(old, first),
            New = RunSummary.Of(now, second),
            Program = builds.Program,
            Job = job,
            Drawer = drawer,
            Builds = builds.All(),
            OldBest = first is null ? null : BuildSide.Of(first),
            NewBest = second is null ? null : BuildSide.Of(second),
            Parts = [],
        };
        if (first is null || second is null)
        {
            return changes;
        }

        Problem then = old.Job.Problem, today = now.Job.Problem;
        (string with, Earpiece other) = now.Job.From is { } from
            ? (FormattableString.Invariant($"build {from.Rank?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "?"} of the job \"{from.Job ?? "?"}\", which it starts from"), from.Parent)
            : ("the best build of the earlier run", first.Earpiece);
        return changes with
        {
            Response = ResponseDifference.Of(new BuildEvaluation(then).Response(first.Earpiece), new BuildEvaluation(today).Response(second.Earpiece), today.Target),
            Parts = PartDifference.Between(first.Earpiece, then, second.Earpiece, today),
            Shared = SharedParts.Between(with, other, now.Job.From is null ? then : today, second.Earpiece, today),
        };
    }
}

/// <summary>A run in short.</summary>
/// <param name="Label">Its id or folder.</param>
/// <param name="JobName">Name of its job.</param>
/// <param name="JobHash">SHA-256 of the job.</param>
/// <param name="InventoryHash">SHA-256 of the drawer.</param>
/// <param name="Builds">Builds it kept.</param>
/// <param name="BestCost">Cost of the best; null where it found none.</param>
/// <param name="Evaluations">Evaluations it used; null where not known.</param>
/// <param name="Reason">Why it ended; null where not known.</param>
/// <param name="ProgramVersion">Version of the program that searched; null where not known.</param>
public sealed record RunSummary(
    string Label, string JobName, string JobHash, string InventoryHash, int Builds, double? BestCost, long? Evaluations, string? Reason, string? ProgramVersion)
{
    internal static RunSummary Of(KeptRun run, RankedBuild? best) => new(
        run.Label, run.Job.Problem.Name, run.Job.Problem.JobHash, run.Job.Problem.InventoryHash, run.Builds.Count, best?.Cost.Total, run.Evaluations, run.Reason, run.ProgramVersion);
}
