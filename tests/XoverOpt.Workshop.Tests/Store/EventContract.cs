using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>Events and news.</summary>
public abstract class EventContract(StorePlace place) : StoreContract(place)
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(1);

    [Fact]
    public void Events_OfARun_TellItsLifeInOrder()
    {
        RunClaim claim = Held("first");
        Store.SaveProgress(claim.RunId, claim.Epoch, "{\"p\":1}");
        Store.SaveCheckpoint(claim.RunId, claim.Epoch, 0, [1], "{}", [new StoredBuild(1, 0.5, "{}"), new StoredBuild(2, 0.75, "{}")]);
        Store.SaveCheckpoint(claim.RunId, claim.Epoch, 1, [2], "{}", null);
        Clock.Advance(Lease * 2);
        RunClaim next = Store.TryClaim(claim.RunId, "second", Lease)!;
        Assert.False(Store.SaveProgress(claim.RunId, claim.Epoch, "{\"old\":1}"));
        Store.ReleaseFailed(next.RunId, next.Epoch, "a \"bad\" day", TimeSpan.Zero);
        RunClaim last = Store.TryClaim(claim.RunId, "third", Lease)!;
        Store.Finish(last.RunId, last.Epoch, Done());

        IReadOnlyList<RunEvent> events = Whole.Events.Events(claim.RunId, 0, 100);

        Assert.Equal(
            [
                (1, "state", "{\"state\":\"waiting\"}"),
                (2, "state", "{\"state\":\"running\",\"owner\":\"first\",\"attempt\":1}"),
                (3, "progress", "{\"p\":1}"),
                (4, "best", "{\"checkpoint\":1,\"builds\":2,\"cost\":0.5}"),
                (5, "takeover", "{\"from\":\"first\"}"),
                (6, "state", "{\"state\":\"running\",\"owner\":\"second\",\"attempt\":1}"),
                (7, "failure", "{\"failure\":\"a \\u0022bad\\u0022 day\"}"),
                (8, "state", "{\"state\":\"waiting\"}"),
                (9, "state", "{\"state\":\"running\",\"owner\":\"third\",\"attempt\":2}"),
                (10, "state", "{\"state\":\"done\",\"reason\":\"finished\"}"),
            ],
            events.Select(one => (one.Sequence, one.Kind, one.Data)));
        Assert.Equal(Clock.GetUtcNow(), events[^1].Time);
        Assert.Equal([5L, 6L], Whole.Events.Events(claim.RunId, 4, 2).Select(one => one.Sequence));
        Assert.Empty(Whole.Events.Events("no such run", 0, 10));
    }

    [Fact]
    public void Events_ManyOfProgress_KeepTheLastOnly()
    {
        RunClaim claim = Held();
        for (int i = 1; i <= 20; i++)
        {
            Store.SaveProgress(claim.RunId, claim.Epoch, $"{{\"p\":{i}}}");
        }

        RunEvent only = Assert.Single(Whole.Events.Events(claim.RunId, 0, 100), one => one.Kind == EventKind.Progress);
        Assert.Equal((22L, "{\"p\":20}"), (only.Sequence, only.Data));
    }

    [Fact]
    public async Task News_OfARunHandedInAndWorkedOn_WakeThoseWhoWait()
    {
        Task work = Whole.News.Coming(NewsTopic.Work);
        string id = Store.Submit(Run()).RunId;
        await work.WaitAsync(Patience, TestContext.Current.CancellationToken);

        Task run = Whole.News.Coming(NewsTopic.Run(id));
        Task other = Whole.News.Coming(NewsTopic.Run("other"));
        Store.TryClaim(id, "me", Lease);
        await run.WaitAsync(Patience, TestContext.Current.CancellationToken);
        Assert.False(other.IsCompleted);
    }

    [Fact]
    public async Task News_OfPauseAndNotice_WakeThoseWhoWait()
    {
        RunClaim held = Held(run: Run() with { Notify = "https://example.org" });
        Task work = Whole.News.Coming(NewsTopic.Work);
        Whole.Pause.Pause("Ada");
        await work.WaitAsync(Patience, TestContext.Current.CancellationToken);

        Task notice = Whole.News.Coming(NewsTopic.Outbox);
        Store.Finish(held.RunId, held.Epoch, Done());
        await notice.WaitAsync(Patience, TestContext.Current.CancellationToken);
    }
}
