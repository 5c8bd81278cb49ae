namespace XoverOpt.Workshop.Store;

/// <summary>A run to be kept.</summary>
/// <param name="Name">The job's name.</param>
/// <param name="Job">The job as JSON with everything it needs in it: no file is read again when it is run. An inventory in it is kept once for all runs.</param>
/// <param name="JobHash">Hash of the job.</param>
/// <param name="InventoryHash">Hash of the inventory.</param>
/// <param name="Seed">Seed of all randomness.</param>
/// <param name="ProgramVersion">Version of the program that took it.</param>
/// <param name="Schedule">Priority, earliest start, deadline, whom to tell of the end; null for the usual.</param>
public sealed record NewRun(
    string Name, string Job, string JobHash, string InventoryHash, ulong Seed, string ProgramVersion, JobSchedule? Schedule = null)
{
    /// <summary>The address that is told when the run has ended; null for none.</summary>
    public string? Notify { get; init; }
}

/// <summary>A client's mark on a request, so that sending it twice makes one run.</summary>
/// <param name="Key">The mark.</param>
/// <param name="RequestHash">Hash of the request it was first sent with.</param>
public sealed record IdempotencyKey(string Key, string RequestHash);
