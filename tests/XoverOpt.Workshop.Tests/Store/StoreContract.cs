using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>A store in some place, for the contracts that hold in all of them.</summary>
public abstract class StoreContract(StorePlace place) : IDisposable
{
    protected static readonly TimeSpan Lease = TimeSpan.FromSeconds(30);

    protected StorePlace Place { get; } = place;

    internal ManualClock Clock => Place.Clock;

    protected WorkshopStore Whole => Place.Store;

    protected IRunStore Store => Place.Store.Runs;

    public void Dispose()
    {
        Place.Dispose();
        GC.SuppressFinalize(this);
    }

    protected static NewRun Run(string name = "run", ulong seed = 1, JobSchedule? schedule = null) =>
        new(name, $"{{\"name\":\"{name}\"}}", "job-hash", "stock-hash", seed, "1.2", schedule);

    protected static RunOutcome Done(params StoredBuild[] builds) => new(RunState.Done, "finished", null, null, null, builds);

    /// <summary>A run that is held.</summary>
    protected RunClaim Held(string owner = "me", NewRun? run = null) => Store.TryClaim(Store.Submit(run ?? Run()).RunId, owner, Lease)!;

    /// <summary>A run that has ended.</summary>
    protected string Ended(NewRun? run = null)
    {
        RunClaim claim = Held(run: run);
        Assert.True(Store.Finish(claim.RunId, claim.Epoch, Done(new StoredBuild(1, 0.5, "{}"))));
        return claim.RunId;
    }
}
