using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>A page of the stored builds that use a part.</summary>
/// <param name="Part">The part's one name.</param>
/// <param name="Kind">receiver, damper, tubing, resistor, capacitor or coil; absent where no build uses it.</param>
/// <param name="Builds">Builds that use it, on all pages.</param>
/// <param name="Runs">Runs with such builds.</param>
/// <param name="Uses">The builds: those of the run handed in last first, then by rank.</param>
/// <param name="Next">Address of the next page; absent on the last.</param>
public sealed record PartUsesPage(string Part, string? Kind, int Builds, int Runs, IReadOnlyList<PartUseView> Uses, string? Next);

/// <summary>A stored build that uses a part.</summary>
/// <param name="JobId">The run.</param>
/// <param name="Job">The job's name.</param>
/// <param name="State">Where the run stands: of a run that is not over it is among the best so far.</param>
/// <param name="Ended">When the run ended; absent before.</param>
/// <param name="Rank">Rank of the build, 1 is best.</param>
/// <param name="Cost">Its cost.</param>
/// <param name="Pieces">How many of the part go into one earpiece; cuts, for tubing.</param>
/// <param name="LengthMm">For tubing, all cuts of one earpiece together, mm; else absent.</param>
public sealed record PartUseView(string JobId, string Job, string State, DateTimeOffset? Ended, int Rank, double Cost, int Pieces, double? LengthMm)
{
    internal static PartUseView Of(PartUse use) =>
        new(use.Build.RunId, use.Job, RunStateText.Of(use.State), use.Ended, use.Build.Rank, use.Cost, use.Pieces, use.LengthMm);
}

/// <summary>A page of what jobs lose if a part goes. Runs of one job are those of equal job hash; only runs that have ended with builds count.</summary>
/// <param name="Part">The part's one name.</param>
/// <param name="Kind">receiver, damper, tubing, resistor, capacitor or coil; absent where no build uses it.</param>
/// <param name="Jobs">The jobs with builds that need it, the one with the latest run first.</param>
/// <param name="Next">Address of the next page; absent on the last.</param>
public sealed record PartWithoutPage(string Part, string? Kind, IReadOnlyList<PartLossView> Jobs, string? Next);

/// <summary>What a job loses if a part goes.</summary>
/// <param name="Job">The job's name, as its latest run bears it.</param>
/// <param name="JobHash">Hash of the job.</param>
/// <param name="JobId">Its latest run.</param>
/// <param name="Ended">When that ended.</param>
/// <param name="Builds">Builds of the latest run.</param>
/// <param name="Lost">Those of them that need the part.</param>
/// <param name="BestCost">Cost of the latest run's best build.</param>
/// <param name="NextRank">Rank of the latest run's best build that does not need the part; absent where all do.</param>
/// <param name="NextCost">Its cost.</param>
/// <param name="AllRuns">Runs of the job.</param>
/// <param name="AllBuilds">Builds of all of them.</param>
/// <param name="AllLost">Those of them that need the part.</param>
public sealed record PartLossView(
    string Job, string JobHash, string JobId, DateTimeOffset Ended, int Builds, int Lost, double BestCost, int? NextRank, double? NextCost, int AllRuns, int AllBuilds, int AllLost)
{
    internal static PartLossView Of(PartLoss loss) => new(
        loss.Job, loss.JobHash, loss.RunId, loss.Ended, loss.Builds, loss.Lost, loss.BestCost, loss.NextRank, loss.NextCost, loss.AllRuns, loss.AllBuilds, loss.AllLost);
}
