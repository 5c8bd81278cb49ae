using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests.Inspection;

/// <summary>A build of the quick demo job, kept as test data.</summary>
internal static class DemoBuild
{
    public static (Earpiece Build, Problem Problem) Read() => Parts(Whole());

    /// <summary>The build and job that the environment names, or the one kept.</summary>
    public static (Earpiece Build, Problem Problem) ReadGiven() =>
        (Environment.GetEnvironmentVariable("XOVEROPT_INSPECT_BUILD"), Environment.GetEnvironmentVariable("XOVEROPT_INSPECT_JOB")) is ({ } build, { } job) ? Parts(Whole(build, job)) : Read();

    /// <summary>The one kept, with everything its files say.</summary>
    public static BuildInJob Whole() => Whole(
        Path.Combine(AppContext.BaseDirectory, "data/inspect/quick-build.json"), Path.Combine(AppContext.BaseDirectory, "demo/jobs/quick.json"));

    private static BuildInJob Whole(string build, string job)
    {
        Reading<BuildInJob> reading = BuildInJob.Read(build, job);
        Assert.True(reading.IsGood, string.Join('\n', reading.Faults));
        return reading.Value;
    }

    private static (Earpiece Build, Problem Problem) Parts(BuildInJob whole) => (whole.Build.Earpiece, whole.Job.Problem);
}
