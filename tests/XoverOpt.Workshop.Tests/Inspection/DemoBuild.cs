using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests.Inspection;

/// <summary>A build of the quick demo job, kept as test data.</summary>
internal static class DemoBuild
{
    public static (Earpiece Build, Problem Problem) Read()
    {
        string folder = AppContext.BaseDirectory;
        Reading<BuildInJob> reading = BuildInJob.Read(Path.Combine(folder, "data/inspect/quick-build.json"), Path.Combine(folder, "demo/jobs/quick.json"));
        Assert.True(reading.IsGood, string.Join('\n', reading.Faults));
        return (reading.Value.Build.Earpiece, reading.Value.Job.Problem);
    }
}
