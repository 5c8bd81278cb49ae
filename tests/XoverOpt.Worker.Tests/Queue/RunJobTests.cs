using System.Collections.Concurrent;
using System.Text;
using Hangfire;
using Hangfire.InMemory;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;
using XoverOpt.Search;
using XoverOpt.Worker.Host;
using XoverOpt.Worker.Queue;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Tests.Queue;

public sealed class RunJobTests : IDisposable
{
    private readonly Desk _desk = new();
    private readonly LeapClock _clock = new();
    private readonly KeptLog _log = new();
    private readonly WorkshopStore _whole;
    private readonly IRunStore _store;
    private readonly RunJob _job;

    public RunJobTests()
    {
        _whole = WorkshopStore.Open(Path.Combine(_desk.Root, "store"), _clock);
        _store = _whole.Runs;
        _job = new RunJob(
            _store,
            new Bell(new BackgroundJobClient(new InMemoryStorage()), _clock, NullLogger<Bell>.Instance),
            new OwnRuns(),
            new WorkerSettings { InventoryRoot = _desk.Inventory },
            _clock,
            _log);
    }

    private static CancellationToken Test => TestContext.Current.CancellationToken;

    [Fact]
    public void Run_JobThatAlwaysFails_IsGivenUpAfterFiveAttemptsWithTheReason()
    {
        string id = _store.Submit(new NewRun("broken", "{ \"format\": \"job/1\" }", "", "", 1, "")).RunId;

        for (int attempt = 1; attempt <= RunJob.MaxAttempts; attempt++)
        {
            Assert.True(_store.Find(id)!.Open);
            _job.Run(id, Test);
            Assert.Equal(attempt, _store.Find(id)!.Attempts);
            _job.Run(id, Test);
            Assert.Equal(attempt, _store.Find(id)!.Attempts);
            _clock.Leap(TimeSpan.FromMinutes(5));
        }

        RunRecord run = _store.Find(id)!;
        Assert.Equal(RunState.Failed, run.State);
        Assert.Contains("given up after 5 attempts", run.Failure, StringComparison.Ordinal);
        Assert.Contains("no key \"target\"", run.Failure, StringComparison.Ordinal);
    }

    [Fact]
    public void Run_AfterFiveDeathsSinceTheLastCheckpoint_IsGivenUpWithWhatWasFound()
    {
        JobDocument job = JobFile.ReadPosted(Encoding.UTF8.GetBytes(Desk.Job(Desk.Endless)), _desk.Inventory).Value!;
        string id = _store.Submit(new NewRun("deadly", job.SelfContainedJson, "", "", 5, "")).RunId;
        RunClaim claim = _store.TryClaim(id, "first", RunLease.Usual)!;
        _store.SaveCheckpoint(id, claim.Epoch, 0, FirstCheckpoint(job.Problem), "{}", null);
        for (int death = 0; death < RunJob.MaxAttempts; death++)
        {
            _clock.Leap(TimeSpan.FromMinutes(5));
            Assert.NotNull(_store.TryClaim(id, "dies", RunLease.Usual));
        }

        _clock.Leap(TimeSpan.FromMinutes(5));
        _job.Run(id, Test);

        RunRecord run = _store.Find(id)!;
        Assert.Equal(RunState.Failed, run.State);
        Assert.Contains("the worker died each time", run.Failure, StringComparison.Ordinal);
        Assert.NotEmpty(_store.Builds(id));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Run_CheckpointCutShort_StartsOverAndFindsWhatAnUndisturbedRunFinds(bool cut)
    {
        JobDocument job = JobFile.ReadPosted(Encoding.UTF8.GetBytes(Desk.Job(2000)), _desk.Inventory).Value!;
        string id = _store.Submit(new NewRun("cut", job.SelfContainedJson, "", "", 5, "")).RunId;
        RunClaim claim = _store.TryClaim(id, "first", RunLease.Usual)!;
        byte[] checkpoint = FirstCheckpoint(job.Problem);
        _store.SaveCheckpoint(id, claim.Epoch, 0, cut ? checkpoint[..(checkpoint.Length / 2)] : checkpoint, "{}", null);
        _store.Release(id, claim.Epoch);

        _job.Run(id, Test);

        Assert.Equal(RunState.Done, _store.Find(id)!.State);
        SearchResult undisturbed = new SearchRun(job.Problem, new RunPace(), TimeProvider.System).Run(Test);
        Assert.Equal(FoundBuilds.Write(undisturbed, job.Problem).Select(build => build.Json), _store.Builds(id).Select(build => build.Json));
        Assert.Equal(cut, _whole.Events.Events(id, 0, 1000).Any(one => one.Kind == EventKind.Failure && one.Data.Contains("starts over, its checkpoint cannot be used: it is cut short", StringComparison.Ordinal)));
        Assert.Equal(cut, _log.Lines.Any(line => line.Contains("starts over, its checkpoint cannot be used: it is cut short", StringComparison.Ordinal)));
    }

    [Fact]
    public void Run_BellOfAnEarlierRun_WorksOnTheMoreUrgentOneFirst()
    {
        const string Broken = "{ \"format\": \"job/1\" }";
        string early = _store.Submit(new NewRun("early", Broken, "", "", 1, "")).RunId;
        string urgent = _store.Submit(new NewRun("urgent", Broken, "", "", 1, "", new JobSchedule { Priority = 5 })).RunId;

        _job.Run(early, Test);

        Assert.Equal((0, 1), (_store.Find(early)!.Attempts, _store.Find(urgent)!.Attempts));
        _job.Run(early, Test);
        Assert.Equal(1, _store.Find(early)!.Attempts);
    }

    [Fact]
    public async Task Run_RungTwiceAtOnce_WorksOnce()
    {
        JobDocument job = JobFile.ReadPosted(Encoding.UTF8.GetBytes(Desk.Job(2000)), _desk.Inventory).Value!;
        string id = _store.Submit(new NewRun("twice", job.SelfContainedJson, "", "", 5, "")).RunId;

        await Task.WhenAll(Task.Run(() => _job.Run(id, Test), Test), Task.Run(() => _job.Run(id, Test), Test));

        Assert.Equal((RunState.Done, 1L), (_store.Find(id)!.State, _store.Find(id)!.Epoch));
    }

    [Fact]
    public async Task Run_TakenOverByAnother_LeavesWithoutATrace()
    {
        JobDocument job = JobFile.ReadPosted(Encoding.UTF8.GetBytes(Desk.Job(Desk.Endless)), _desk.Inventory).Value!;
        string id = _store.Submit(new NewRun("taken", job.SelfContainedJson, "", "", 5, "")).RunId;
        Task working = Task.Run(() => _job.Run(id, Test), Test);
        await Until.True(() => _store.Find(id)!.Epoch == 1, () => "never claimed");

        // The clock leaps past the lease, as for a process that was frozen.
        RunClaim? other = null;
        await Until.True(
            () =>
            {
                _clock.Leap(RunLease.Usual * 2);
                return (other = _store.TryClaim(id, "other", TimeSpan.FromDays(1000))) is not null;
            },
            () => "never to be had");
        await working;

        Assert.Equal((RunState.Running, other!.Epoch), (_store.Find(id)!.State, _store.Find(id)!.Epoch));
        Assert.Equal(LeaseSignal.Held, _store.Look(id, other.Epoch));
    }

    public void Dispose()
    {
        _whole.Dispose();
        _desk.Dispose();
    }

    private static byte[] FirstCheckpoint(Problem problem)
    {
        byte[]? bytes = null;
        using CancellationTokenSource leave = new();
        SearchRun run = new(problem, new RunPace { CheckpointEvery = TimeSpan.Zero }, TimeProvider.System)
        {
            OnCheckpoint = checkpoint =>
            {
                bytes = checkpoint.ToBytes();
                leave.Cancel();
            },
        };
        Assert.Throws<OperationCanceledException>(() => run.Run(Test, leave.Token));
        return bytes!;
    }

    private sealed class KeptLog : ILogger<RunJob>
    {
        public ConcurrentQueue<string> Lines { get; } = [];

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
            Lines.Enqueue(formatter(state, exception));
    }

    private sealed class LeapClock : TimeProvider
    {
        private long _ticks = new DateTimeOffset(2025, 3, 1, 12, 0, 0, TimeSpan.Zero).Ticks;

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public void Leap(TimeSpan time) => Interlocked.Add(ref _ticks, time.Ticks);

        public override DateTimeOffset GetUtcNow() => new(Interlocked.Read(ref _ticks), TimeSpan.Zero);

        public override long GetTimestamp() => Interlocked.Read(ref _ticks);
    }
}
