using System.Net.Sockets;
using Dapper;
using Microsoft.Data.Sqlite;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>The contract on SQLite, and what is SQLite's own.</summary>
public sealed class SqliteRunStoreTests() : RunStoreContract(new SqlitePlace())
{
    private DirectoryInfo Folder => ((SqlitePlace)Place).Folder;

    [Fact]
    public void Reopened_AfterTheHolderDied_FreesItsRunsAndKeepsEverything()
    {
        RunClaim claim = Held("dead");
        string id = claim.RunId;
        Store.SaveCheckpoint(id, claim.Epoch, 0, [5, 6], "{}", [new StoredBuild(1, 0.25, "{}")]);

        ((SqlitePlace)Place).Reopen();

        Assert.Equal([id], Store.Unheld());
        Assert.Equal(RunState.Waiting, Store.Find(id)!.State);
        Assert.Contains(Whole.Events.Events(id, 0, 10), one => one.Kind == EventKind.Takeover);
        RunClaim next = Store.TryClaim(id, "next", TimeSpan.FromHours(1))!;
        Assert.Equal([5, 6], next.Checkpoint);
        Assert.Equal((claim.Epoch + 1, 1), (next.Epoch, Store.Builds(id).Count));
    }

    [Fact]
    public void Open_StoreOfTheFirstReleasedSchema_HasEverythingThatWasInIt()
    {
        string folder = Folder.CreateSubdirectory("old").FullName;
        File.Copy(Path.Combine(AppContext.BaseDirectory, "Store", "Released", "sqlite-1.db"), Path.Combine(folder, "xoveropt.db"));
        for (int opened = 0; opened < 2; opened++)
        {
            using var old = WorkshopStore.Open(folder, Clock);
            RunRecord[] runs = [.. old.Runs.List(null, null, 10).OrderBy(run => run.Name)];

            Assert.Equal(
                [("ended", RunState.Done, ulong.MaxValue), ("held", RunState.Waiting, 7UL), ("waiting", RunState.Waiting, 8UL)],
                runs.Select(run => (run.Name, run.State, run.Seed)));
            Assert.Equal(("{\"p\":2}", "{\"r\":1}", "finished"), (runs[0].Progress, runs[0].Result, runs[0].Reason));
            Assert.Equal([new StoredBuild(1, 0.25, "{\"b\":2}"), new StoredBuild(2, 0.5, "{\"b\":3}")], old.Runs.Builds(runs[0].Id));
            Assert.Equal("{\"name\":\"held\",\"inventory\":[{\"partNumber\":\"LO-1\"}]}", old.Runs.Job(runs[1].Id));
            Assert.Equal(new Submission(SubmissionKind.Known, runs[0].Id), old.Runs.Known(new IdempotencyKey("key", "request")));
        }

        using var again = WorkshopStore.Open(folder, Clock);
        RunClaim held = again.Runs.TryClaim(again.Runs.List(null, null, 10).Single(run => run.Name == "held").Id, "me", Lease)!;
        Assert.Equal([9, 8, 7], held.Checkpoint);
        Assert.Equal((1L, 2L), (held.Step, held.Epoch));
    }

    [Fact]
    public void Open_StoreOfTheSecondReleasedSchema_HasEverythingThatWasInItAndKnowsWhatItsBuildsUse()
    {
        string folder = Folder.CreateSubdirectory("old").FullName;
        File.Copy(Path.Combine(AppContext.BaseDirectory, "Store", "Released", "sqlite-2.db"), Path.Combine(folder, "xoveropt.db"));
        for (int opened = 0; opened < 2; opened++)
        {
            using var old = WorkshopStore.Open(folder, Clock);
            RunRecord[] runs = [.. old.Runs.List(null, null, 10).OrderBy(run => run.Name)];

            Assert.Equal(
                [("ended", RunState.Done, ulong.MaxValue, 0), ("held", RunState.Waiting, 7UL, 3), ("waiting", RunState.Waiting, 8UL, 0)],
                runs.Select(run => (run.Name, run.State, run.Seed, run.Priority)));
            Assert.Equal("{\"name\":\"held\",\"inventory\":[{\"partNumber\":\"LO-1\"}]}", old.Runs.Job(runs[1].Id));
            Assert.Equal(3, old.Runs.Builds(runs[0].Id).Count);
            Assert.Equal("https://localhost/told", old.Outbox.Find(runs[0].Id)!.Url);
            Assert.Equal(["anna"], old.Keys.Keys().Select(key => key.Name));
            Assert.NotEmpty(old.Events.Events(runs[0].Id, 0, 10));

            // The drawing of the second build, which both runs keep, has six receivers of three kinds.
            Assert.Equal([(runs[1].Id, 1, 2), (runs[0].Id, 2, 2)], old.PartUses.Uses("OS-H3", null, 10).Select(use => (use.Build.RunId, use.Build.Rank, use.Pieces)));
            Assert.Equal([(1, 1), (2, 1)], old.PartUses.Uses("OS-T10", null, 10).Where(use => use.Build.RunId == runs[0].Id).Select(use => (use.Build.Rank, use.Pieces)));
            Assert.Equal((3, 2, 3), old.PartUses.Without("larch-2", null, 10).Select(loss => (loss.Builds, loss.Lost, loss.NextRank!.Value)).Single());
        }

        using var again = WorkshopStore.Open(folder, Clock);
        Assert.Equal([9, 8, 7], again.Runs.TryClaim(again.Runs.List(null, null, 10).Single(run => run.Name == "held").Id, "me", Lease)!.Checkpoint);
    }

    [Fact]
    public void BackUp_WhileARunIsHeld_BringsEverythingBackElsewhere()
    {
        RunClaim claim = Held();
        Store.SaveCheckpoint(claim.RunId, claim.Epoch, 0, [5, 6], "{}", [new StoredBuild(1, 0.25, "{}")]);
        string file = Path.Combine(Folder.FullName, "kept", "backup.db");

        using (var beside = WorkshopStore.OpenBeside(Folder.FullName, Clock))
        {
            beside.BackUp(file);
        }

        Assert.Contains("exists", Assert.Throws<StoreException>(() => Whole.BackUp(file)).Message, StringComparison.Ordinal);
        string other = Folder.CreateSubdirectory("other").FullName;
        WorkshopStore.Restore(file, other);
        using var restored = WorkshopStore.Open(other, Clock);
        Assert.Equal([claim.RunId], restored.Runs.Unheld());
        Assert.Equal([5, 6], restored.Runs.TryClaim(claim.RunId, "me", Lease)!.Checkpoint);
        Assert.Equal(Store.Builds(claim.RunId), restored.Runs.Builds(claim.RunId));
    }

    [Fact]
    public void Restore_OverAStore_PutsItAside()
    {
        string file = Path.Combine(Folder.FullName, "backup.db");
        Whole.BackUp(file);
        string other = Folder.CreateSubdirectory("other").FullName;
        using (var store = WorkshopStore.Open(other, Clock))
        {
            store.Runs.Submit(Run());
            Assert.Contains("held by another", Assert.Throws<StoreException>(() => WorkshopStore.Restore(file, other)).Message, StringComparison.Ordinal);
        }

        WorkshopStore.Restore(file, other);

        using var restored = WorkshopStore.Open(other, Clock);
        Assert.Empty(restored.Runs.List(null, null, 10));
        Assert.True(File.Exists(Path.Combine(other, "xoveropt.db.before-restore")));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Restore_FileThatIsNoSoundBackup_LeavesTheStoreAlone(bool database)
    {
        string file = Path.Combine(Folder.FullName, "backup.db");
        if (database)
        {
            Store.Submit(Run());
            Whole.BackUp(file);
            using FileStream torn = new(file, FileMode.Open);
            torn.SetLength(torn.Length / 2);
        }
        else
        {
            File.WriteAllText(file, new string('x', 5000));
        }

        string other = Folder.CreateSubdirectory("other").FullName;
        WorkshopStore.Open(other, Clock).Dispose();

        Assert.Contains("not a sound backup", Assert.Throws<StoreException>(() => WorkshopStore.Restore(file, other)).Message, StringComparison.Ordinal);
        WorkshopStore.Open(other, Clock).Dispose();
    }

    [Fact]
    public void OpenBeside_NoStoreThere_SaysSo() =>
        Assert.Contains(
            "no store", Assert.Throws<StoreException>(() => WorkshopStore.OpenBeside(Folder.CreateSubdirectory("none").FullName, Clock)).Message, StringComparison.Ordinal);

    [Fact]
    public void Open_FolderInUse_IsRefusedWithAWayOut()
    {
        StoreException refused = Assert.Throws<StoreException>(() => WorkshopStore.Open(Folder.FullName, Clock));

        Assert.Contains("held by another worker", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Open_LockThatCannotBeOpened_SaysWhyAndBlamesNoOtherWorker()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "open(2) of a socket fails with ENXIO by POSIX; Windows has no such rule.");
        DirectoryInfo other = Folder.CreateSubdirectory("other");
        using Socket socket = new(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
        socket.Bind(new UnixDomainSocketEndPoint(Path.Combine(other.FullName, "lock")));

        StoreException refused = Assert.Throws<StoreException>(() => DataDirectory.Open(other.FullName));

        Assert.DoesNotContain("another worker", refused.Message, StringComparison.Ordinal);
        Assert.IsType<IOException>(refused.InnerException);
        Assert.Contains(refused.InnerException.Message, refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Open_NotADatabase_IsRefusedAndTheFolderIsLetGo()
    {
        DirectoryInfo other = Folder.CreateSubdirectory("other");
        File.WriteAllText(Path.Combine(other.FullName, "xoveropt.db"), new string('x', 5000));

        Assert.Throws<StoreException>(() => WorkshopStore.Open(other.FullName, Clock));

        DataDirectory.Open(other.FullName).Dispose();
    }

    [Fact]
    public void Open_StoreOfALaterVersion_IsRefusedAndLeftAlone()
    {
        string other = Folder.CreateSubdirectory("other").FullName;
        WorkshopStore.Open(other, Clock).Dispose();
        using (SqliteConnection connection = Connect(other))
        {
            connection.Execute("pragma user_version = 99");
        }

        StoreException refused = Assert.Throws<StoreException>(() => WorkshopStore.Open(other, Clock));

        Assert.Contains("version 99", refused.Message, StringComparison.Ordinal);
        using SqliteConnection after = Connect(other);
        Assert.Equal(99, after.ExecuteScalar<long>("pragma user_version"));
    }

    /// <summary>3.50.2 is the first release without CVE-2025-6965 (SQLite release notes).</summary>
    [Fact]
    public void SqliteLibrary_Version_IsNotOneWithKnownHoles()
    {
        using SqliteConnection connection = Connect(Folder.FullName);

        Version version = Version.Parse(connection.ExecuteScalar<string>("select sqlite_version()")!);

        Assert.True(version >= new Version(3, 50, 2), $"sqlite {version}");
    }

    [Fact]
    public void File_IsInWalMode()
    {
        using SqliteConnection connection = Connect(Folder.FullName);

        Assert.Equal("wal", connection.ExecuteScalar<string>("pragma journal_mode"));
    }

    private static SqliteConnection Connect(string folder)
    {
        SqliteConnection connection = new($"Data Source={Path.Combine(folder, "xoveropt.db")};Pooling=false");
        connection.Open();
        return connection;
    }
}
