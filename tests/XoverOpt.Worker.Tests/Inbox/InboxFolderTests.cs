using System.Text;
using Microsoft.Extensions.Logging.Abstractions;
using XoverOpt.Worker.Inbox;
using XoverOpt.Worker.Queue;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Tests.Inbox;

public sealed class InboxFolderTests : IDisposable
{
    private static readonly TimeSpan Settle = TimeSpan.FromSeconds(2);

    private readonly Desk _desk = new();
    private readonly StillClock _clock = new();
    private readonly Dictionary<string, string> _kept = [];

    private string Root => Path.Combine(_desk.Root, "inbox");

    private string[] Accepted => Names("accepted");

    private string[] Refused => Names("refused");

    [Fact]
    public void Look_JobDropped_IsTakenOnceAndFiledUnderItsRun()
    {
        _desk.Write("inbox/Drum riser.json", Desk.Job());
        InboxFolder folder = Folder();

        folder.Look();
        Assert.Empty(_kept);
        Settled(folder);
        Settled(folder);

        string run = Assert.Single(_kept).Value;
        Assert.Equal([$"Drum riser.{run}.json"], Accepted);
        Assert.Equal(Desk.Job(), File.ReadAllText(Path.Combine(Root, "accepted", Accepted[0])));
        Assert.Empty(Directory.EnumerateFiles(Root));
        Assert.Empty(Names(".taking"));
    }

    [Fact]
    public void Look_SameContentUnderTwoNames_IsOneRun()
    {
        _desk.Write("inbox/a.json", Desk.Job());
        _desk.Write("inbox/b.json", Desk.Job());
        _desk.Write("inbox/c.json", Desk.Job(4000));

        Settled(Folder());

        Assert.Equal(2, _kept.Count);
        Assert.Equal(3, Accepted.Length);
        Assert.Equal(Accepted[0].Split('.')[1], Accepted[1].Split('.')[1]);
        Assert.NotEqual(Accepted[0].Split('.')[1], Accepted[2].Split('.')[1]);
    }

    [Fact]
    public void Look_FileStillGrowing_Waits()
    {
        InboxFolder folder = Folder();
        string whole = Desk.Job();
        for (int part = 1; part <= 4; part++)
        {
            _desk.Write("inbox/a.json", whole[..(whole.Length * part / 5)]);
            folder.Look();
            _clock.Pass(Settle * 0.9);
            folder.Look();
        }

        Assert.Equal(["a.json"], Directory.EnumerateFiles(Root).Select(Path.GetFileName));
        _desk.Write("inbox/a.json", whole);
        Settled(folder);

        Assert.Single(_kept);
        Assert.Empty(Refused);
    }

    [Fact]
    public void Look_HalfAFileThatFalters_WaitsThenIsRefused()
    {
        _desk.Write("inbox/a.json", Desk.Job()[..200]);
        InboxFolder folder = Folder();

        Settled(folder);
        Assert.Empty(Refused);
        for (int i = 0; i < 16; i++)
        {
            _clock.Pass(Settle);
            folder.Look();
        }

        Assert.Equal(2, Refused.Length);
        Assert.Empty(_kept);
    }

    [Fact]
    public void Look_WriterThatGoesOnAfterItWasTaken_IsWaitedFor()
    {
        string whole = Desk.Job();
        Directory.CreateDirectory(Root);
        using FileStream writer = new(Path.Combine(Root, "a.json"), FileMode.Create, FileAccess.Write, FileShare.ReadWrite | FileShare.Delete);
        writer.Write(Encoding.UTF8.GetBytes(whole[..200]));
        writer.Flush();
        InboxFolder folder = Folder();
        Settled(folder);

        writer.Write(Encoding.UTF8.GetBytes(whole[200..]));
        writer.Dispose();
        folder.Look();
        Settled(folder);

        Assert.Single(_kept);
        Assert.Equal(whole, File.ReadAllText(Path.Combine(Root, "accepted", Assert.Single(Accepted))));
    }

    [Theory]
    [InlineData("wrong key", "{ \"format\": \"job/1\", \"targt\": {}, \"inventory\": \"../driverlib\" }", "targt")]
    [InlineData("no json at all", "Dear workshop, please", "syntax error")]
    [InlineData("reaches outside", "{ \"format\": \"job/1\", \"target\": { \"points\": [ { \"hz\": 20, \"db\": 0 } ] }, \"inventory\": \"../../etc\" }", "inventory root")]
    public void Look_WrongFile_IsRefusedWithItsFaultsBeside(string name, string content, string fault)
    {
        _desk.Write($"inbox/{name}.json", content);
        InboxFolder folder = Folder();

        Settled(folder);
        _clock.Pass(Settle * 20);
        folder.Look();

        Assert.Empty(_kept);
        Assert.Equal(2, Refused.Length);
        string faults = File.ReadAllText(Path.Combine(Root, "refused", Refused.Single(file => file.EndsWith(".faults.txt", StringComparison.Ordinal))));
        Assert.Contains(fault, faults, StringComparison.Ordinal);
        Assert.StartsWith(name + ".json", faults, StringComparison.Ordinal);
        Assert.Equal(content, File.ReadAllText(Path.Combine(Root, "refused", Refused.Single(file => file.EndsWith(".json", StringComparison.Ordinal)))));
    }

    [Fact]
    public void Look_HugeFile_IsRefusedUnread()
    {
        Directory.CreateDirectory(Root);
        using (FileStream huge = File.Create(Path.Combine(Root, "huge.json")))
        {
            huge.SetLength(1L << 40);
        }

        Settled(Folder());

        Assert.Contains("8 MB", File.ReadAllText(Path.Combine(Root, "refused", Refused[0])), StringComparison.Ordinal);
    }

    [Fact]
    public void Look_LinksFoldersPipesAndUnfinishedNames_AreLeftLying()
    {
        string outside = _desk.Write("secret.json", Desk.Job());
        _desk.Write("inbox/deeper/a.json", Desk.Job());
        _desk.Write("inbox/a.json.part", Desk.Job());
        _desk.Write("inbox/.b.json", Desk.Job());
        _desk.Write("inbox/empty.json", "");
        File.CreateSymbolicLink(Path.Combine(Root, "link.json"), outside);
        File.CreateSymbolicLink(Path.Combine(Root, "nowhere.json"), Path.Combine(_desk.Root, "nowhere"));
        using (System.Diagnostics.Process pipe = System.Diagnostics.Process.Start("mkfifo", [Path.Combine(Root, "pipe.json")]))
        {
            pipe.WaitForExit();
        }

        InboxFolder folder = Folder();
        Settled(folder);
        Settled(folder);

        Assert.Empty(_kept);
        Assert.Empty(Refused);
        Assert.Equal(
            [".b.json", ".taking", "a.json.part", "accepted", "deeper", "empty.json", "link.json", "nowhere.json", "pipe.json", "refused"],
            Directory.EnumerateFileSystemEntries(Root).Select(path => Path.GetFileName(path)!).Order(StringComparer.Ordinal));
    }

    [Theory]
    [InlineData("-rf *;$(x)")]
    [InlineData("two\nlines\u001b[31m.json")]
    [InlineData("Ölpresse für Größe 7.json")]
    [InlineData("..")]
    [InlineData("数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数数.json")]
    public void Look_OddName_IsTakenUnderAPlainOne(string name)
    {
        _desk.Write("inbox/" + (name == ".." ? "x ...json" : name), Desk.Job());

        Settled(Folder());

        Assert.Single(_kept);
        Assert.Matches("^[\\p{L}\\p{N}][\\p{L}\\p{N} ._-]*\\.run[0-9]+\\.json$", Assert.Single(Accepted));
    }

    [Fact]
    public void Look_ProcessDiesAfterAnyStep_KeepsEachJobOnceAndLosesNoFile()
    {
        foreach (InboxStep death in Enum.GetValues<InboxStep>())
        {
            for (int which = 1; which <= 2; which++)
            {
                _kept.Clear();
                Directory.CreateDirectory(Root);
                Directory.Delete(Root, recursive: true);
                _desk.Write("inbox/good.json", Desk.Job());
                _desk.Write("inbox/other.json", Desk.Job(4000));
                _desk.Write("inbox/bad.json", "{ \"format\": \"job/1\" }");
                _desk.Write("inbox/worse.json", "{ \"format\": \"job/2\" }");

                int seen = 0;
                InboxFolder doomed = Folder(step =>
                {
                    if (step == death && ++seen == which)
                    {
                        throw new Died();
                    }
                });
                Assert.Throws<Died>(() => Settled(doomed));

                // Another process, with nothing but the disk and the store; a kill leaves no more than that.
                Settled(Folder());

                Assert.Equal(2, _kept.Count);
                Assert.Equal(2, Accepted.Length);
                Assert.Equal(4, Refused.Length);
                Assert.Empty(Names(".taking"));
                Assert.Empty(Directory.EnumerateFiles(Root));
            }
        }
    }

    [Fact]
    public void Look_StoreAway_KeepsTheFileForLater()
    {
        _desk.Write("inbox/a.json", Desk.Job());
        bool away = true;
        InboxFolder folder = new(Root, (bytes, key) => away ? throw new Microsoft.Data.Sqlite.SqliteException("away", 5) : Keep(bytes, key), Settle, _clock, NullLogger.Instance);

        Assert.Throws<Microsoft.Data.Sqlite.SqliteException>(() => Settled(folder));
        away = false;
        Settled(folder);

        Assert.Single(_kept);
        Assert.Single(Accepted);
    }

    public void Dispose() => _desk.Dispose();

    private InboxFolder Folder(Action<InboxStep>? afterStep = null) =>
        new(Root, Keep, Settle, _clock, NullLogger.Instance) { AfterStep = afterStep ?? (_ => { }) };

    /// <summary>The store's promise in small: one run a key.</summary>
    private Intake Keep(ReadOnlyMemory<byte> job, IdempotencyKey key)
    {
        Reading<JobDocument> reading = JobFile.ReadPosted(job, _desk.Inventory);
        if (!reading.IsGood)
        {
            return new Intake(null, reading.Faults);
        }

        bool isNew = _kept.TryAdd(key.Key, $"run{_kept.Count}");
        return new Intake(new Submission(isNew ? SubmissionKind.Kept : SubmissionKind.Known, _kept[key.Key]), []);
    }

    private void Settled(InboxFolder folder)
    {
        folder.Look();
        _clock.Pass(Settle);
        folder.Look();
    }

    private string[] Names(string folder) =>
        [.. Directory.EnumerateFiles(Path.Combine(Root, folder)).Select(path => Path.GetFileName(path)!).Order(StringComparer.Ordinal)];

    private sealed class Died : Exception;

    private sealed class StillClock : TimeProvider
    {
        private long _ticks;

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public void Pass(TimeSpan time) => _ticks += time.Ticks;

        public override long GetTimestamp() => _ticks;
    }
}
