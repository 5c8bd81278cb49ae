using System.Diagnostics;
using Dapper;
using Hangfire;
using Microsoft.Data.Sqlite;
using Npgsql;
using XoverOpt.Worker.Queue;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop.Store;
using XoverOpt.Workshop.Tests.Store;

namespace XoverOpt.Worker.Tests.Durability;

/// <summary>
/// What may happen to a worker overnight, done to real processes: every run that was accepted finishes, with the very builds of an
/// undisturbed one, once. The long form, with <c>DURABILITY=long</c> in the environment, kills more often.
/// </summary>
[Collection("alone")]
public sealed class DurabilityTests(PostgresCluster cluster, DurabilityTable table) : IClassFixture<DurabilityTable>, IDisposable
{
    private const double Lease = 2;
    private static readonly bool Long = Environment.GetEnvironmentVariable("DURABILITY") == "long";
    private readonly Desk _desk = new();
    private readonly Random _moments = new(20250301);

    private static CancellationToken Test => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Kill_OfTheOnlyProcess_OnSqlite()
    {
        using Fleet fleet = Sqlite();
        int kills = 0;
        for (int wanted = Long ? 50 : 4; kills < wanted; kills++)
        {
            await fleet.Start(0);
            string run = fleet.Runs.LastOrDefault(fleet.IsOpen) ?? await fleet.Submit();
            await Until.True(() => fleet.Holder(run) is not null || !fleet.IsOpen(run), () => "nobody takes it");
            await GetsOn(fleet, run, kills);
            await Moment(600);
            await fleet.Kill(0);
        }

        await fleet.Start(0);
        await Ends(fleet, "kill -9, SQLite, one process", kills);
    }

    [Fact]
    public async Task Kill_OfAnyOfThreeProcesses_OnPostgres()
    {
        using Fleet fleet = Postgres(3);
        await fleet.StartAll();
        await fleet.Submit();
        int kills = 0;
        for (int wanted = Long ? 50 : 4; kills < wanted; kills++)
        {
            string run = fleet.Runs.LastOrDefault(fleet.IsOpen) ?? await fleet.Submit(_moments.Next(3));
            await Until.True(() => fleet.Holder(run) is not null || !fleet.IsOpen(run), () => "nobody takes it");
            await GetsOn(fleet, run, kills);
            await Moment(600);
            int victim = kills % 2 == 0 ? fleet.Holder(run) ?? 0 : _moments.Next(3);
            await fleet.Kill(victim);
            await fleet.Start(victim);
        }

        await Ends(fleet, "kill -9, PostgreSQL, three processes", kills);
    }

    [Fact]
    public async Task Freeze_LongerThanTheLease_OnPostgres()
    {
        using Fleet fleet = Postgres(2);
        await fleet.StartAll();
        string run = await fleet.Submit();
        await fleet.GotOn(run, 0);
        Assert.NotNull(fleet.Holder(run));
        int frozen = fleet.Holder(run)!.Value;
        fleet.Freeze(frozen);
        await Until.True(() => fleet.Holder(run) == 1 - frozen || !fleet.IsOpen(run), () => "nobody takes it over");
        Assert.Contains(fleet.Truth.Events.Events(run, 0, 100_000), one => one.Kind == EventKind.Takeover);
        fleet.Thaw(frozen);
        await Ends(fleet, "SIGSTOP longer than the lease, PostgreSQL", 1);
    }

    [Fact]
    public async Task Database_StoppedAndStarted()
    {
        using Fleet fleet = Postgres(2);
        await fleet.StartAll();
        string run = await fleet.Submit();
        foreach (string mode in (string[])["fast", "immediate"])
        {
            await fleet.GotOn(run, fleet.Truth.Runs.Find(run)!.Step);
            cluster.Stop(mode);
            await Moment(3000);
            cluster.Start();
            await Until.True(() => Fleet.Tried(() => fleet.Truth.Runs.Find(run) is not null), () => "the store does not come back");
        }

        await Ends(fleet, "PostgreSQL stopped (in order, then a crash) and started", 2);
    }

    [Fact]
    public async Task Connections_Cut()
    {
        string address = cluster.NewDatabase();
        using Fleet fleet = new(_desk, address, 2, Lease);
        await fleet.StartAll();
        string run = await fleet.Submit();
        int cuts = 0;
        for (; cuts < (Long ? 20 : 3) && Fleet.Tried(() => fleet.IsOpen(run)); cuts++)
        {
            await Moment(500);
            Execute(address, "select pg_terminate_backend(pid) from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid()");
            await Until.True(() => Fleet.Tried(() => fleet.Truth.Runs.Find(run) is not null), () => "the store does not come back");
        }

        await Ends(fleet, "connections cut, PostgreSQL", cuts);
    }

    [Fact]
    public async Task Clock_SteppedAnHourOnAndBack_OnPostgres()
    {
        string address = cluster.NewDatabase();
        using Fleet fleet = new(_desk, address, 2, Lease);
        await fleet.StartAll();
        string run = await fleet.Submit();
        foreach (string step in (string[])["+ 3600000", "", "- 3600000"])
        {
            await fleet.GotOn(run, fleet.Truth.Runs.Find(run)!.Step);
            Execute(address, "create or replace function xoveropt.now_ms() returns bigint language sql stable as "
                + $"$$ select (extract(epoch from statement_timestamp()) * 1000)::bigint {step} $$");
        }

        await Ends(fleet, "clock stepped +1 h, -1 h, -1 h, PostgreSQL", 3);
    }

    [Fact]
    public async Task Disk_FullForAWhile_OnSqlite()
    {
        Assert.SkipUnless(Environment.UserName == "root" && OperatingSystem.IsLinux(), "A small disk has to be mounted.");
        string disk = Directory.CreateDirectory(Path.Combine(_desk.Root, "disk")).FullName;
        Run("mount", "-t", "tmpfs", "-o", "size=24m", "tmpfs", disk);
        try
        {
            using Fleet fleet = new(_desk, Path.Combine(disk, "store"), 1, Lease);
            await fleet.Start(0);
            string run = await fleet.Submit();
            await fleet.GotOn(run, 0);
            string ballast = Path.Combine(disk, "ballast");
            Assert.Throws<IOException>(() => File.WriteAllBytes(ballast, new byte[32 << 20]));
            await Moment(3000);
            File.Delete(ballast);
            await Ends(fleet, "disk full, SQLite", 1);
        }
        finally
        {
            SqliteConnection.ClearAllPools();
            // Lazily: a process that was killed may not have let go of it yet.
            Run("umount", "--lazy", disk);
        }
    }

    [Fact]
    public async Task Checkpoint_CutInHalf_OnSqlite()
    {
        using Fleet fleet = Sqlite();
        await fleet.Start(0);
        string run = await fleet.Submit();
        await fleet.GotOn(run, 0);
        await fleet.Kill(0);
        using (SqliteConnection connection = new($"Data Source={Path.Combine(_desk.Root, "store", "xoveropt.db")};Pooling=false"))
        {
            Assert.Equal(1, connection.Execute("update checkpoints set state = substr(state, 1, length(state) / 2)"));
        }

        await fleet.Start(0);
        await Ends(fleet, "kill -9 and the checkpoint cut in half, SQLite", 1);
    }

    [Fact]
    public async Task Bell_LostAndRungTwice_OnPostgres()
    {
        string address = cluster.NewDatabase();
        using Fleet fleet = new(_desk, address, 2, Lease);
        await fleet.StartAll();
        string rung = await fleet.Submit();
        Bells(address, rung, 2);
        await fleet.GotOn(rung, 0);
        Bells(address, rung, 2);

        // Kept without a ring, and a ring that is gone before anybody heard it.
        RunRecord first = fleet.Truth.Runs.Find(rung)!;
        string lost = fleet.Truth.Runs.Submit(new NewRun(
            first.Name, fleet.Truth.Runs.Job(rung)!, first.JobHash, first.InventoryHash, first.Seed, first.ProgramVersion)).RunId;
        fleet.Accepted(lost);
        Bells(address, lost, 1);
        Execute(address, "delete from hangfire.jobqueue where fetchedat is null");
        await Ends(fleet, "bells lost and rung twice, PostgreSQL", 2);
    }

    [Fact]
    public async Task Terminate_AmidAStep_OnSqlite()
    {
        using Fleet fleet = Sqlite();
        int times = 0;
        for (; times < (Long ? 20 : 2); times++)
        {
            await fleet.Start(0);
            string run = fleet.Runs.LastOrDefault(fleet.IsOpen) ?? await fleet.Submit();
            await Until.True(() => fleet.Holder(run) is not null || !fleet.IsOpen(run), () => "nobody takes it");
            await Moment(600);
            Assert.Equal(0, await fleet.Terminate(0));
            Assert.Null(fleet.Truth.Runs.Find(run)!.Owner);
        }

        await fleet.Start(0);
        await Ends(fleet, "SIGTERM amid a step, SQLite", times);
    }

    public void Dispose() => _desk.Dispose();

    private static void Execute(string address, string sql)
    {
        using NpgsqlConnection connection = new(address + ";Pooling=false");
        connection.Open();
        connection.Execute(sql);
    }

    private static void Bells(string address, string runId, int times)
    {
        BackgroundJobClient queue = new(QueueStorage.Open(StoreAddress.Parse(address)));
        for (int i = 0; i < times; i++)
        {
            queue.Enqueue<RunJob>(job => job.Run(runId, CancellationToken.None));
        }
    }

    private static void Run(string program, params string[] args)
    {
        using Process process = Process.Start(program, args);
        process.WaitForExit();
        Assert.Equal(0, process.ExitCode);
    }

    private Fleet Sqlite() => new(_desk, Path.Combine(_desk.Root, "store"), 1, Lease);

    private Fleet Postgres(int processes) => new(_desk, cluster.NewDatabase(), processes, Lease);

    private Task Moment(int milliseconds) => Task.Delay(_moments.Next(milliseconds / 4, milliseconds), Test);

    /// <summary>A run whose worker dies five times before it gets on is given up, by design: before every fourth death it has got on.</summary>
    private static Task GetsOn(Fleet fleet, string run, int kills) =>
        kills % 4 == 3 ? fleet.GotOn(run, fleet.Truth.Runs.Find(run)!.Step) : Task.CompletedTask;

    private async Task Ends(Fleet fleet, string what, int times)
    {
        _desk.Write("jobs/job.json", Desk.Job(fleet.Evaluations));
        (int exit, _, string error) = await Cli.Run(_desk.Root, "solve", "jobs/job.json", "--out", "undisturbed");
        Assert.True(exit == 0, error);
        DurabilityRow row = await fleet.End(what, times, _desk.Builds("undisturbed"));
        table.Add(row);
        Assert.Equal((row.Accepted, row.Accepted, 0, 0), (row.Finished, row.Equal, row.Doubled, row.Lost));
    }
}
