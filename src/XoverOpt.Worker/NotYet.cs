using XoverOpt.Workshop;

namespace XoverOpt.Worker;

/// <summary>What a job may ask for in its file and this program cannot do yet: said, not passed over.</summary>
internal static class NotYet
{
    /// <summary>A fault for each such wish.</summary>
    public static IReadOnlyList<Fault> Faults(JobDocument job, string file)
    {
        List<Fault> faults = [];
        if (job.From is not null)
        {
            faults.Add(new Fault(file, "/from", "a job that starts from a build", "jobs of their own; this version cannot start from a build yet"));
        }

        return faults;
    }
}
