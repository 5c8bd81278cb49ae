using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>Whose turn it is, the pause of the whole worker, and the end of what is kept.</summary>
public abstract class ScheduleContract(StorePlace place) : StoreContract(place)
{
    [Fact]
    public void Submit_Schedule_IsKept()
    {
        JobSchedule schedule = new(3, Clock.GetUtcNow().AddHours(1), Clock.GetUtcNow().AddHours(9));

        string id = Store.Submit(Run(schedule: schedule) with { Notify = "https://example.org/told" }).RunId;

        RunRecord run = Store.Find(id)!;
        Assert.Equal((3, schedule.NotBefore, schedule.Deadline, "https://example.org/told"), (run.Priority, run.NotBefore, run.Deadline, run.Notify));
        Clock.Advance(TimeSpan.FromHours(1));
        Assert.Equal(schedule.Deadline, Store.TryClaim(id, "me", Lease)!.Deadline);
        Assert.Equal("me", Store.Find(id)!.Owner);
    }

    [Fact]
    public void Unheld_ByPriorityThenAge_AndNotBeforeItsTime()
    {
        string first = Store.Submit(Run()).RunId;
        Clock.Advance(TimeSpan.FromMilliseconds(1));
        string second = Store.Submit(Run()).RunId;
        Clock.Advance(TimeSpan.FromMilliseconds(1));
        string urgent = Store.Submit(Run(schedule: new JobSchedule(5))).RunId;
        string patient = Store.Submit(Run(schedule: new JobSchedule(-1))).RunId;
        string tonight = Store.Submit(Run(schedule: new JobSchedule(9, Clock.GetUtcNow().AddHours(8)))).RunId;

        Assert.Equal([urgent, first, second, patient], Store.Unheld());
        Assert.Null(Store.TryClaim(tonight, "me", Lease));
        Clock.Advance(TimeSpan.FromHours(8));
        Assert.Equal(tonight, Store.Unheld()[0]);
    }

    [Fact]
    public void Pause_OfTheWorker_LetsNobodyBeginAndTellsHolders()
    {
        RunClaim held = Held();
        string waiting = Store.Submit(Run()).RunId;
        Clock.Advance(TimeSpan.FromSeconds(1));

        Assert.True(Whole.Pause.Pause("Ada"));
        Assert.False(Whole.Pause.Pause("Bo"));

        Assert.Equal(new PauseRecord("Ada", Clock.GetUtcNow()), Whole.Pause.Current());
        Assert.Equal(LeaseSignal.PauseAsked, Store.Look(held.RunId, held.Epoch));
        Assert.Equal(LeaseSignal.PauseAsked, Store.Renew(held.RunId, held.Epoch, Lease));
        Assert.Empty(Store.Unheld());
        Assert.Null(Store.TryClaim(waiting, "me", Lease));
        Assert.True(Store.Release(held.RunId, held.Epoch));

        Assert.True(Whole.Pause.GoOn());
        Assert.False(Whole.Pause.GoOn());
        Assert.Null(Whole.Pause.Current());
        Assert.Equal(new[] { held.RunId, waiting }.Order(), Store.Unheld().Order());
    }

    [Fact]
    public void Pause_OfTheWorker_StillLetsARunBeStopped()
    {
        RunClaim held = Held();
        Store.SaveCheckpoint(held.RunId, held.Epoch, 0, [1], "{}", null);
        Store.Release(held.RunId, held.Epoch);
        Whole.Pause.Pause("Ada");

        Assert.True(Store.AskToStop(held.RunId));

        Assert.Equal([held.RunId], Store.Unheld());
        RunClaim last = Store.TryClaim(held.RunId, "me", Lease)!;
        Assert.Equal(LeaseSignal.StopAsked, Store.Look(last.RunId, last.Epoch));
    }

    [Fact]
    public void TryClaim_ClockPutBack_DoesNotKeepADeadHoldersRunForAsLong()
    {
        RunClaim dead = Held();
        Clock.Advance(TimeSpan.FromHours(-1));

        Assert.Equal([dead.RunId], Store.Unheld());
        RunClaim next = Store.TryClaim(dead.RunId, "next", Lease)!;
        Assert.False(Store.SaveProgress(dead.RunId, dead.Epoch, "{}"));
        Assert.Empty(Store.Unheld());
        Clock.Advance(-Lease / 2);
        Assert.Null(Store.TryClaim(next.RunId, "third", Lease));
    }

    [Fact]
    public void Delete_RunThatEnded_TakesEverythingItHad()
    {
        string id = Ended(Run() with { Job = "{\"inventory\":[1,2]}" });
        string marked = Store.Submit(Run(), new IdempotencyKey("mark", "request")).RunId;

        Assert.Equal(Deletion.StillOpen, Store.Delete(marked));
        Store.AskToStop(marked);
        Assert.Equal((Deletion.Deleted, Deletion.Deleted), (Store.Delete(id), Store.Delete(marked)));

        Assert.Equal(Deletion.NoSuchRun, Store.Delete(id));
        Assert.Null(Store.Find(id));
        Assert.Null(Store.Job(id));
        Assert.Empty(Store.Builds(id));
        Assert.Empty(Whole.Events.Events(id, 0, 10));
        Assert.Null(Store.Known(new IdempotencyKey("mark", "request")));
    }

    [Fact]
    public void Purge_RunsThatEndedLongAgo_LeavesTheOthers()
    {
        string old = Ended();
        string untold = Ended(Run() with { Notify = "https://example.org" });
        string open = Store.Submit(Run()).RunId;
        Clock.Advance(TimeSpan.FromDays(30));
        string late = Ended();

        Assert.Equal(1, Store.Purge(TimeSpan.FromDays(29)));

        Assert.Null(Store.Find(old));
        Assert.All([untold, open, late], id => Assert.NotNull(Store.Find(id)));
        Whole.Outbox.Delivered(Whole.Outbox.Take(Lease)!);
        Assert.Equal(1, Store.Purge(TimeSpan.FromDays(29)));
    }

    // By the store's clock, whatever that of the host says.
    [Fact]
    public void Overdue_WaitingRunsPastTheirDeadline_AreThoseOfWhichNothingIsKept()
    {
        JobSchedule schedule = new(Deadline: Clock.GetUtcNow().AddHours(1));
        string waits = Store.Submit(Run() with { Schedule = schedule }).RunId;
        RunClaim begun = Held(run: Run() with { Schedule = schedule });
        Store.SaveCheckpoint(begun.RunId, begun.Epoch, 0, [1], "{}", null);
        Store.Release(begun.RunId, begun.Epoch);
        Store.Submit(Run());

        Assert.Empty(Store.Overdue());
        Clock.Advance(TimeSpan.FromHours(2));

        Assert.Equal([waits], Store.Overdue());
        Assert.Equal(TimeSpan.FromHours(-1), Store.TryClaim(waits, "me", Lease)!.UntilDeadline);
        Assert.Empty(Store.Overdue());
    }

    [Fact]
    public void SetPriority_OfAnOpenRun_PutsItFirstAndTellsOfIt()
    {
        string early = Store.Submit(Run()).RunId, late = Store.Submit(Run()).RunId, ended = Ended();

        Assert.True(Store.SetPriority(late, 7));

        Assert.Equal([late, early], Store.Unheld());
        Assert.Equal(7, Store.Find(late)!.Priority);
        Assert.Equal("{\"priority\":7}", Whole.Events.Events(late, 0, 10).Single(one => one.Kind == EventKind.Priority).Data);
        Assert.False(Store.SetPriority(ended, 7));
        Assert.False(Store.SetPriority("no such run", 7));
    }

    [Theory]
    [InlineData("{ \"name\" : \"a\",\n \"inventory\": [ {\"p\": \"é€😀\"}, 2 ], \"inventory2\": [3] }")]
    [InlineData("{\"x\":{\"inventory\":[1]},\"é\":1,\"inventory\":{\"a\":[]}}")]
    [InlineData("{\"inventory\":\"a path\"}")]
    [InlineData("{\"inventory\":[1,")]
    [InlineData("not JSON")]
    public void Job_GivenBack_IsTheSameText(string job)
    {
        string first = Store.Submit(Run() with { Job = job }).RunId;
        string second = Store.Submit(Run() with { Job = job }).RunId;

        Assert.Equal((job, job), (Store.Job(first), Store.Job(second)));
        Assert.Equal(job, Store.TryClaim(first, "me", Lease)!.Job);
        Store.AskToStop(second);
        Store.Delete(second);
        Assert.Equal(job, Store.Job(first));
    }
}
