using System.Net.Sockets;
using Dapper;
using Microsoft.Data.Sqlite;
using XoverOpt.Workshop.Store;
using XoverOpt.Workshop.Store.Sqlite;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>The contract on SQLite, and what is SQLite's own.</summary>
public sealed class SqliteRunStoreTests : RunStoreContract
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("store");
    private SqliteRunStore _store;

    public SqliteRunStoreTests() => _store = Open();

    protected override IRunStore Store => _store;

    private string File => Path.Combine(_folder.FullName, "xoveropt.db");

    [Fact]
    public void Reopened_AfterTheHolderDied_FreesItsRunsAndKeepsEverything()
    {
        string id = _store.Submit(new NewRun("n", "{}", "a", "b", 1, "v")).RunId;
        RunClaim claim = _store.TryClaim(id, "dead", TimeSpan.FromHours(1))!;
        _store.SaveCheckpoint(id, claim.Epoch, 0, [5, 6], "{}", [new StoredBuild(1, 0.25, "{}")]);

        _store.Dispose();
        _store = Open();

        Assert.Equal([id], _store.Unheld());
        Assert.Equal(RunState.Waiting, _store.Find(id)!.State);
        RunClaim next = _store.TryClaim(id, "next", TimeSpan.FromHours(1))!;
        Assert.Equal([5, 6], next.Checkpoint);
        Assert.Equal((claim.Epoch + 1, 1), (next.Epoch, _store.Builds(id).Count));
    }

    [Fact]
    public void Open_FolderInUse_IsRefusedWithAWayOut()
    {
        StoreException refused = Assert.Throws<StoreException>(() => DataDirectory.Open(_folder.FullName));

        Assert.Contains("held by another worker", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Open_LockThatCannotBeOpened_SaysWhyAndBlamesNoOtherWorker()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "open(2) of a socket fails with ENXIO by POSIX; Windows has no such rule.");
        DirectoryInfo other = _folder.CreateSubdirectory("other");
        using Socket socket = new(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
        socket.Bind(new UnixDomainSocketEndPoint(Path.Combine(other.FullName, "lock")));

        StoreException refused = Assert.Throws<StoreException>(() => DataDirectory.Open(other.FullName));

        Assert.DoesNotContain("another worker", refused.Message, StringComparison.Ordinal);
        Assert.IsType<IOException>(refused.InnerException);
        Assert.Contains(refused.InnerException.Message, refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Open_NotADatabase_IsRefused()
    {
        DirectoryInfo other = _folder.CreateSubdirectory("other");
        System.IO.File.WriteAllText(Path.Combine(other.FullName, "xoveropt.db"), new string('x', 5000));
        using DataDirectory directory = DataDirectory.Open(other.FullName);

        Assert.Throws<StoreException>(() => new SqliteRunStore(directory, Clock));
    }

    [Fact]
    public void Open_StoreOfALaterVersion_IsRefusedAndLeftAlone()
    {
        _store.Dispose();
        using (SqliteConnection connection = Connect())
        {
            connection.Execute("pragma user_version = 99");
        }

        using (DataDirectory directory = DataDirectory.Open(_folder.FullName))
        {
            StoreException refused = Assert.Throws<StoreException>(() => new SqliteRunStore(directory, Clock));
            Assert.Contains("version 99", refused.Message, StringComparison.Ordinal);
        }

        using (SqliteConnection connection = Connect())
        {
            Assert.Equal(99, connection.ExecuteScalar<long>("pragma user_version"));
            connection.Execute("pragma user_version = 1");
        }

        _store = Open();
    }

    /// <summary>3.50.2 is the first release without CVE-2025-6965 (SQLite release notes).</summary>
    [Fact]
    public void SqliteLibrary_Version_IsNotOneWithKnownHoles()
    {
        using SqliteConnection connection = Connect();

        Version version = Version.Parse(connection.ExecuteScalar<string>("select sqlite_version()")!);

        Assert.True(version >= new Version(3, 50, 2), $"sqlite {version}");
    }

    [Fact]
    public void File_IsInWalMode()
    {
        using SqliteConnection connection = Connect();

        Assert.Equal("wal", connection.ExecuteScalar<string>("pragma journal_mode"));
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _store.Dispose();
            SqliteConnection.ClearAllPools();
            _folder.Delete(recursive: true);
        }
    }

    private SqliteConnection Connect()
    {
        SqliteConnection connection = new($"Data Source={File};Pooling=false");
        connection.Open();
        return connection;
    }

    private SqliteRunStore Open() => new(DataDirectory.Open(_folder.FullName), Clock);
}
