using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests.Inspection;

/// <summary>A build of the quick demo job, kept as test data.</summary>
internal static class DemoBuild
{
    public static (Earpiece Build, Problem Problem) Read()
    {
        BuildInJob whole = Whole();
        return (whole.Build.Earpiece, whole.Job.Problem);
    }

    /// <summary>With everything its files say.</summary>
    public static BuildInJob Whole()
    {
        string folder = AppContext.BaseDirectory;
        Reading<BuildInJob> reading = BuildInJob.Read(Path.Combine(folder, "data/inspect/quick-build.json"), Path.Combine(folder, "demo/jobs/quick.json"));
        Assert.True(reading.IsGood, string.Join('\n', reading.Faults));
        return reading.Value;
    }
}
