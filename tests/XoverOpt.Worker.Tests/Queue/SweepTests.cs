using Microsoft.Extensions.Logging.Abstractions;
using XoverOpt.Worker.Host;
using XoverOpt.Worker.Queue;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Tests.Queue;

public sealed class SweepTests : IDisposable
{
    private readonly Desk _desk = new();
    private readonly SetClock _clock = new();
    private readonly WorkshopStore _store;
    private readonly Sweep _sweep;

    public SweepTests()
    {
        _store = WorkshopStore.Open(Path.Combine(_desk.Root, "store"), _clock);
        _sweep = new Sweep(_store.Runs, new WorkerSettings(), _clock, NullLogger<Sweep>.Instance);
    }

    [Fact]
    public void Purge_EndedAndOpenRuns_DeletesOnlyThoseThatEndedLongAgo()
    {
        string old = Submit(null), open = Submit(null);
        Assert.True(_store.Runs.AskToStop(old));
        _clock.Now += TimeSpan.FromDays(20);
        string young = Submit(null);
        Assert.True(_store.Runs.AskToStop(young));
        _clock.Now += TimeSpan.FromDays(15);

        _sweep.Purge(30);

        Assert.Null(_store.Runs.Find(old));
        Assert.NotNull(_store.Runs.Find(open));
        Assert.NotNull(_store.Runs.Find(young));
    }

    [Fact]
    public void EndOverdue_ManyRuns_EndsThoseWhoseDeadlineHasPassed()
    {
        DateTimeOffset deadline = _clock.Now.AddHours(1);
        string[] overdue = [.. Enumerable.Range(0, 250).Select(_ => Submit(deadline))];
        string later = Submit(deadline.AddHours(1)), never = Submit(null);
        _clock.Now = deadline;

        _sweep.EndOverdue();

        Assert.All(overdue, id =>
        {
            RunRecord run = _store.Runs.Find(id)!;
            Assert.Equal(RunState.Failed, run.State);
            Assert.Equal("its deadline, 2025-03-01 13:00:00 UTC, passed before anything was found", run.Failure);
        });
        Assert.Equal(RunState.Waiting, _store.Runs.Find(later)!.State);
        Assert.Equal(RunState.Waiting, _store.Runs.Find(never)!.State);
    }

    // Whoever asked it to stop is told that it was stopped, not that it came too late.
    [Fact]
    public void Missed_RunThatWasAskedToStop_IsNot()
    {
        DateTimeOffset deadline = _clock.Now.AddHours(1);
        string late = Submit(deadline), stopped = Submit(deadline);
        RunClaim before = _store.Runs.TryClaim(stopped, "before", TimeSpan.FromSeconds(30))!;
        Assert.True(_store.Runs.AskToStop(stopped));
        Assert.True(_store.Runs.Release(stopped, before.Epoch));
        _clock.Now = deadline.AddSeconds(1);

        Assert.NotNull(Sweep.Missed(_store.Runs.TryClaim(late, "me", TimeSpan.FromSeconds(30))!));
        Assert.Null(Sweep.Missed(_store.Runs.TryClaim(stopped, "me", TimeSpan.FromSeconds(30))!));
    }

    public void Dispose()
    {
        _store.Dispose();
        _desk.Dispose();
    }

    private string Submit(DateTimeOffset? deadline) =>
        _store.Runs.Submit(new NewRun("job", "{}", "", "", 1, "", new JobSchedule(Deadline: deadline))).RunId;

    private sealed class SetClock : TimeProvider
    {
        public DateTimeOffset Now { get; set; } = new(2025, 3, 1, 12, 0, 0, TimeSpan.Zero);

        public override DateTimeOffset GetUtcNow() => Now;
    }
}
