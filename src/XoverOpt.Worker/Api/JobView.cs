using System.Text.Json;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>A run as the API shows it.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Name">The job's name.</param>
/// <param name="State">waiting, running, stopping, done, stopped or failed.</param>
/// <param name="Priority">Higher goes first; 0 is usual.</param>
/// <param name="NotBefore">Not worked on before this, by its schedule or because an attempt failed; absent for at once.</param>
/// <param name="Deadline">When it ends with the best so far; absent for no such time.</param>
/// <param name="Created">When it was handed in.</param>
/// <param name="Started">When work began.</param>
/// <param name="Ended">When it ended.</param>
/// <param name="Reason">Why the search ended: finished, evaluations-used, time-used or stopped.</param>
/// <param name="Failure">What went wrong or which limits the best build breaks, in words.</param>
/// <param name="Attempts">Attempts since the last checkpoint.</param>
/// <param name="Checkpoints">Checkpoints kept so far.</param>
/// <param name="Progress">How far it has come.</param>
/// <param name="Seed">Seed of all randomness, as text since it may have 20 digits.</param>
/// <param name="JobHash">SHA-256 of the job.</param>
/// <param name="InventoryHash">SHA-256 of the inventory.</param>
/// <param name="ProgramVersion">Version of the program that took it.</param>
/// <param name="Notice">Whom it tells of its end and how that goes; absent where nobody is to be told, and in lists.</param>
public sealed record JobView(
    string Id,
    string Name,
    string State,
    int Priority,
    DateTimeOffset? NotBefore,
    DateTimeOffset? Deadline,
    DateTimeOffset Created,
    DateTimeOffset? Started,
    DateTimeOffset? Ended,
    string? Reason,
    string? Failure,
    int Attempts,
    long Checkpoints,
    ProgressView? Progress,
    string Seed,
    string JobHash,
    string InventoryHash,
    string ProgramVersion,
    NoticeView? Notice)
{
    internal static JobView Of(RunRecord run) => Of(run, null);

    internal static JobView Of(RunRecord run, Notice? notice) => new(
        run.Id,
        run.Name,
        RunStateText.Of(run.State),
        run.Priority,
        run.NotBefore,
        run.Deadline,
        run.Created,
        run.Started,
        run.Ended,
        run.Reason,
        run.Failure,
        run.Attempts,
        run.Step,
        run.Progress is { } progress ? JsonSerializer.Deserialize<ProgressView>(progress, ApiJson.Options) : null,
        run.Seed.ToString(System.Globalization.CultureInfo.InvariantCulture),
        run.JobHash,
        run.InventoryHash,
        run.ProgramVersion,
        run.Notify is { } address ? NoticeView.Of(address, notice) : null);
}

/// <summary>Whom a run tells of its end, and how that goes.</summary>
/// <param name="Host">The host; the rest of the address may be a secret of its own and is not shown.</param>
/// <param name="Attempts">Attempts so far.</param>
/// <param name="Delivered">When it was taken; absent before.</param>
/// <param name="Next">When it is tried next; absent once it was taken or given up, and before the run has ended.</param>
/// <param name="Failure">Why the last attempt failed.</param>
public sealed record NoticeView(string Host, int Attempts, DateTimeOffset? Delivered, DateTimeOffset? Next, string? Failure)
{
    internal static NoticeView Of(string address, Notice? notice) =>
        new(new Uri(address).Authority, notice?.Attempts ?? 0, notice?.Delivered, notice?.NextAttempt, notice?.LastFailure);
}

/// <summary>A page of runs, newest first.</summary>
/// <param name="Jobs">The runs.</param>
/// <param name="Next">Address of the next page; absent on the last.</param>
public sealed record JobPage(IReadOnlyList<JobView> Jobs, string? Next);
