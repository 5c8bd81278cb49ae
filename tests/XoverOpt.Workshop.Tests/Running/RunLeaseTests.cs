using Microsoft.Extensions.Logging.Abstractions;
using XoverOpt.Workshop.Running;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Running;

public sealed class RunLeaseTests : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("lease");
    private readonly ManualClock _clock = new();
    private readonly WorkshopStore _whole;
    private readonly IRunStore _store;
    private readonly RunClaim _claim;

    public RunLeaseTests()
    {
        _whole = WorkshopStore.Open(_folder.FullName, _clock);
        _store = _whole.Runs;
        _claim = _store.TryClaim(_store.Submit(new NewRun("n", "{}", "", "", 1, "")).RunId, "me", RunLease.Length)!;
    }

    [Fact]
    public async Task StopAsked_OfARunAskedToStop_IsSet()
    {
        using RunLease lease = Start();

        _store.AskToStop(_claim.RunId);

        await Set(lease.StopAsked);
        Assert.False(lease.Lost.IsCancellationRequested);
    }

    [Fact]
    public async Task Lost_OfARunTakenOver_IsSet()
    {
        _clock.Advance(RunLease.Length * 2);
        Assert.NotNull(_store.TryClaim(_claim.RunId, "other", RunLease.Length));

        using RunLease lease = Start();

        await Set(lease.Lost);
        Assert.False(lease.StopAsked.IsCancellationRequested);
    }

    [Fact]
    public async Task Lease_KeptAlive_IsRenewedAsTheClockGoes()
    {
        using RunLease lease = Start();

        // Each step is under the lease, all of them together far over it; after each the lease must run from the new time.
        for (int step = 0; step < 6; step++)
        {
            _clock.Advance(RunLease.Length / 2);
            string owner = $"other {step}";
            DateTimeOffset renewed = _clock.GetUtcNow() + RunLease.Length;
            await Until(() => LeaseUntil() >= renewed.ToUnixTimeMilliseconds());
            Assert.Null(_store.TryClaim(_claim.RunId, owner, RunLease.Length));
        }

        Assert.False(lease.Lost.IsCancellationRequested);
    }

    [Fact]
    public void Heed_WriteThatDidNotCount_SetsLost()
    {
        using RunLease lease = Start();

        lease.Heed(true);
        Assert.False(lease.Lost.IsCancellationRequested);
        lease.Heed(false);
        Assert.True(lease.Lost.IsCancellationRequested);
    }

    public void Dispose()
    {
        _whole.Dispose();
        _folder.Delete(recursive: true);
    }

    private static async Task Set(CancellationToken token)
    {
        TaskCompletionSource set = new(TaskCreationOptions.RunContinuationsAsynchronously);
        await using CancellationTokenRegistration registration = token.Register(set.SetResult);
        await set.Task.WaitAsync(Patience, TestContext.Current.CancellationToken);
    }

    private static async Task Until(Func<bool> condition)
    {
        using CancellationTokenSource end = new(Patience);
        while (!condition())
        {
            Assert.False(end.IsCancellationRequested, "it never came true");
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }

    private long LeaseUntil()
    {
        using Microsoft.Data.Sqlite.SqliteConnection connection = new($"Data Source={Path.Combine(_folder.FullName, "xoveropt.db")}");
        connection.Open();
        using Microsoft.Data.Sqlite.SqliteCommand command = connection.CreateCommand();
        command.CommandText = "select lease_until from runs";
        return (long)command.ExecuteScalar()!;
    }

    private RunLease Start() => new(_store, _claim, _clock, NullLogger.Instance);
}
