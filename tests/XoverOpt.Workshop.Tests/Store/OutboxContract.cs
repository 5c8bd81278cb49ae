using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>Notices of ended runs.</summary>
public abstract class OutboxContract(StorePlace place) : StoreContract(place)
{
    private static readonly NewRun Told = Run() with { Notify = "https://example.org/told" };

    [Fact]
    public void Take_OfARunThatEnded_GivesItOnceAndAgainWhenTheLeaseIsOver()
    {
        RunClaim open = Held(run: Told);
        Ended();
        Assert.Null(Whole.Outbox.Take(Lease));
        Assert.Null(Whole.Outbox.Find(open.RunId));
        Store.Finish(open.RunId, open.Epoch, Done());

        Notice notice = Whole.Outbox.Take(Lease)!;

        Assert.Equal((open.RunId, "https://example.org/told", 1), (notice.RunId, notice.Url, notice.Attempts));
        Assert.Null(Whole.Outbox.Take(Lease));
        Clock.Advance(Lease);
        Notice again = Whole.Outbox.Take(Lease)!;
        Assert.Equal(2, again.Attempts);

        // Whoever took it first is late: it is another's now.
        Whole.Outbox.Failed(notice, "late", null);
        Whole.Outbox.Delivered(notice);
        Assert.Equal((null, null), (Whole.Outbox.Find(open.RunId)!.LastFailure, Whole.Outbox.Find(open.RunId)!.Delivered));
        Assert.NotNull(Whole.Outbox.Find(open.RunId)!.NextAttempt);
        Whole.Outbox.Delivered(again);
        Clock.Advance(Lease * 2);
        Assert.Null(Whole.Outbox.Take(Lease));
        Assert.Equal(Clock.GetUtcNow() - (Lease * 2), Whole.Outbox.Find(open.RunId)!.Delivered);
    }

    [Fact]
    public void Failed_Notice_WaitsOrIsGivenUp()
    {
        string id = Ended(Told);
        Whole.Outbox.Failed(Whole.Outbox.Take(Lease)!, "503", TimeSpan.FromMinutes(5));

        Assert.Null(Whole.Outbox.Take(Lease));
        Clock.Advance(TimeSpan.FromMinutes(5));
        Notice second = Whole.Outbox.Take(Lease)!;
        Assert.Equal("503", second.LastFailure);
        Whole.Outbox.Failed(second, "410", null);
        Clock.Advance(TimeSpan.FromDays(1));
        Assert.Null(Whole.Outbox.Take(Lease));
        Assert.Equal((2, null, null, "410"), (
            Whole.Outbox.Find(id)!.Attempts, Whole.Outbox.Find(id)!.NextAttempt, Whole.Outbox.Find(id)!.Delivered, Whole.Outbox.Find(id)!.LastFailure));
    }

    [Fact]
    public void AskToStop_RunThatNeverBegan_IsToldToo()
    {
        string id = Store.Submit(Told).RunId;

        Store.AskToStop(id);

        Assert.Equal(id, Whole.Outbox.Take(Lease)!.RunId);
    }
}
