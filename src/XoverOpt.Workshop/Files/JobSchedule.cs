namespace XoverOpt.Workshop;

/// <summary>When the worker should run a job.</summary>
/// <param name="Priority">Higher goes first; 0 is usual.</param>
/// <param name="NotBefore">Earliest start; null for at once.</param>
/// <param name="Deadline">When the result is wanted; null for no such time.</param>
/// <param name="Notify">The http or https address that is told when the run has ended; null for none.</param>
public sealed record JobSchedule(int Priority = 0, DateTimeOffset? NotBefore = null, DateTimeOffset? Deadline = null, Uri? Notify = null)
{
    /// <summary>Priorities go from less this to this.</summary>
    public const int MostPriority = 1000;
}
