using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>A build with the job that judges it: what every analysis of a build starts from.</summary>
/// <param name="Job">The job: drive, ear, target, limits, drawer.</param>
/// <param name="Build">The build.</param>
public sealed record BuildInJob(JobDocument Job, BuildDocument Build)
{
    /// <summary>Reads both from files. The faults are those of the job, or else those of the build.</summary>
    /// <param name="buildPath">The build file.</param>
    /// <param name="jobPath">The job file.</param>
    public static Reading<BuildInJob> Read(string buildPath, string jobPath)
    {
        Reading<JobDocument> job = JobFile.Read(jobPath);
        if (!job.IsGood)
        {
            return new(null, job.Faults);
        }

        FaultList unreadable = new();
        return JsonSource.ReadBytes(buildPath, unreadable) is { } bytes ? Read(bytes, buildPath, job.Value) : new(null, unreadable.Items);
    }

    /// <summary>Reads a build that a known job judges.</summary>
    /// <param name="build">The build file, UTF-8 JSON.</param>
    /// <param name="name">What faults call the file.</param>
    /// <param name="job">The job.</param>
    public static Reading<BuildInJob> Read(ReadOnlyMemory<byte> build, string name, JobDocument job)
    {
        Reading<BuildDocument> reading = BuildFile.Read(build, name, job.Inventory);
        return new(reading.IsGood ? new(job, reading.Value) : null, reading.Faults);
    }

    /// <summary>The outer size of a receiver; null where the drawer does not state it.</summary>
    public Body? Body(Receiver receiver) => Job.Inventory.Receiver(receiver.PartNumber)?.Body;
}
