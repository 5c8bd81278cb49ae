using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop.Store;
using XoverOpt.Workshop.Tests.Store;

namespace XoverOpt.Worker.Tests.Durability;

/// <summary>Two processes on one store and one run between them.</summary>
[Collection("alone")]
public sealed class SharingTests(PostgresCluster cluster) : IDisposable
{
    private readonly Desk _desk = new();

    [Fact]
    public async Task Run_WithASecondProcessBeside_IsSharedAndFindsTheSame()
    {
        using Fleet fleet = new(_desk, cluster.NewDatabase(), 2, 10) { Evaluations = 400_000 };
        await fleet.Start(0);
        await fleet.Start(1);
        string run = await fleet.Submit();

        // Whoever helps takes shards, whoever holds the run gets them back; either process may be the one.
        async Task<double> Both(string counter) => await fleet.Measured(0, counter) + await fleet.Measured(1, counter);
        await Until.Some(
            async () => await Both("xoveropt_shards_taken_total") > 0 && await Both("xoveropt_shards_returned_total") > 0 ? "shared" : null,
            () => $"nothing is shared of {fleet.Truth.Runs.Find(run)}");
        await Until.True(() => !fleet.IsOpen(run), () => "it does not end");
        _desk.Write("jobs/job.json", Desk.Job(fleet.Evaluations));
        (int exit, _, string error) = await Cli.Run(_desk.Root, "solve", "jobs/job.json", "--out", "alone");
        Assert.True(exit == 0, error);
        Assert.Equal((RunState.Done, 1L), (fleet.Truth.Runs.Find(run)!.State, fleet.Truth.Runs.Find(run)!.Epoch));
        Assert.Equal(_desk.Builds("alone"), fleet.Truth.Runs.Builds(run).Select(build => build.Json));
    }

    public void Dispose() => _desk.Dispose();
}
