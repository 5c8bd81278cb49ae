using System.Text.Json;
using System.Text.Json.Serialization;
using XoverOpt.Search;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Workshop.Tests.Running;

public sealed class SearchRunTests
{
    private static readonly JsonSerializerOptions Json = new() { NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals };
    private static readonly Problem Small = Read("12000");

    private static CancellationToken Test => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(2)]
    [InlineData(8)]
    public void Run_AnyNumberOfThreads_FindsTheSameBuilds(int threads)
    {
        SearchResult one = new SearchRun(Small, new RunPace { Threads = 1 }, TimeProvider.System).Run(Test);
        SearchResult many = new SearchRun(Small, new RunPace { Threads = threads }, TimeProvider.System).Run(Test);

        Assert.NotEmpty(one.Builds);
        Assert.Equal(Text(one), Text(many));
    }

    [Fact]
    public void Run_AnotherSeed_SearchesElsewhere()
    {
        Problem other = Small with { Effort = Small.Effort with { Seed = Small.Effort.Seed + 1 } };

        // The builds may be the same; the way there is not.
        Assert.NotEqual(Text(Run(Small)), Text(Run(other)));
    }

    [Fact]
    public void Run_LeftAtEveryBatchAndTakenUpFromItsBytes_FindsWhatAnUninterruptedRunFinds()
    {
        RunPace pace = new() { Threads = 2, CheckpointEvery = TimeSpan.Zero };
        byte[]? saved = null;
        int pieces = 0;
        SearchResult? pieced = null;
        while (pieced is null)
        {
            using CancellationTokenSource leave = new();
            int heard = 0;
            SearchRun run = Start(saved, pace, checkpoint =>
            {
                saved = checkpoint.ToBytes();
                if (++heard == 1)
                {
                    leave.Cancel();
                }
            });
            try
            {
                pieced = run.Run(Test, leave.Token);
            }
            catch (OperationCanceledException)
            {
                pieces++;
            }
        }

        Assert.True(pieces >= 4, $"left {pieces} times");
        Assert.Equal(Text(Run(Small)), Text(pieced));

        static SearchRun Start(byte[]? from, RunPace pace, Action<RunCheckpoint> keep) => from is null
            ? new SearchRun(Small, pace, TimeProvider.System) { OnCheckpoint = keep }
            : new SearchRun(Small, RunCheckpoint.FromBytes(from), pace, TimeProvider.System) { OnCheckpoint = keep };
    }

    [Fact]
    public void Checkpoint_ThroughBytes_ComesBackBitForBit()
    {
        List<byte[]> all = [];
        new SearchRun(Small, new RunPace { CheckpointEvery = TimeSpan.Zero }, TimeProvider.System) { OnCheckpoint = checkpoint => all.Add(checkpoint.ToBytes()) }
            .Run(Test);

        Assert.NotEmpty(all);
        Assert.All(all, bytes => Assert.Equal(bytes, RunCheckpoint.FromBytes(bytes).ToBytes()));
        RunCheckpoint last = RunCheckpoint.FromBytes(all[^1]);
        RunCheckpoint odd = last with
        {
            State = last.State with { Snapped = [new Found([0], [double.NaN, double.PositiveInfinity, -0.0, double.Epsilon, 0.1 + 0.2], 1, 2, 3)] },
        };
        Assert.Equal(
            odd.State.Snapped[0].Unit.Select(BitConverter.DoubleToInt64Bits),
            RunCheckpoint.FromBytes(odd.ToBytes()).State.Snapped[0].Unit.Select(BitConverter.DoubleToInt64Bits));
    }

    [Fact]
    public void Checkpoint_OfAnotherProgramJobOrInventory_IsNotGoneOnFrom()
    {
        RunCheckpoint? made = null;
        new SearchRun(Small, new RunPace { CheckpointEvery = TimeSpan.Zero }, TimeProvider.System) { OnCheckpoint = checkpoint => made = checkpoint }.Run(Test);
        RunCheckpoint other = made! with { Origin = made.Origin with { ProgramVersion = "0.0.0-other" } };
        byte[] bytes = made.ToBytes();

        Assert.NotNull(RunCheckpoint.FromBytes(bytes, Small, out string? none));
        Assert.Null(none);
        Expect(bytes, Small with { JobHash = "0" }, "another job");
        Expect(bytes, Small with { InventoryHash = "0" }, "another inventory");
        Expect(other.ToBytes(), Small, "version 0.0.0-other");

        // As checkpoints were before they named their origin, with a search state that this program cannot read.
        Expect("""{ "State": { "Step": 3 }, "Used": "00:00:01" }"""u8, Small, "older version");

        static void Expect(ReadOnlySpan<byte> bytes, Problem problem, string reason)
        {
            Assert.Null(RunCheckpoint.FromBytes(bytes, problem, out string? mismatch));
            Assert.Contains(reason, mismatch, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Checkpoint_CutShortOrWithAByteChanged_IsNotGoneOnFrom()
    {
        RunCheckpoint? made = null;
        new SearchRun(Small, new RunPace { CheckpointEvery = TimeSpan.Zero }, TimeProvider.System) { OnCheckpoint = checkpoint => made = checkpoint }.Run(Test);
        byte[] whole = made!.ToBytes();
        Assert.NotNull(RunCheckpoint.FromBytes(whole, Small, out _));

        foreach (int length in new[] { 0, 1, 64, 65, 66, whole.Length / 2, whole.Length - 1 })
        {
            Damaged(whole[..length]);
        }

        foreach (int at in Enumerable.Range(0, 40).Select(i => i * (whole.Length - 1) / 39))
        {
            byte[] changed = [.. whole];
            changed[at] ^= 1;
            Damaged(changed);
        }

        static void Damaged(byte[] bytes)
        {
            Assert.Null(RunCheckpoint.FromBytes(bytes, Small, out string? mismatch));
            Assert.Contains("damaged", mismatch, StringComparison.Ordinal);
            Assert.Throws<InvalidDataException>(() => RunCheckpoint.FromBytes(bytes));
        }
    }

    // A trial under way when the run is left is evaluated again: what is saved in between holds whatever was asked and not told.
    [Fact]
    public async Task Run_LeftAtAnyMoment_FindsWhatAnUninterruptedRunFinds()
    {
        byte[]? saved = null;
        SearchResult? pieced = null;
        for (int piece = 1; pieced is null; piece++)
        {
            using CancellationTokenSource leave = new();
            RunPace pace = new() { Threads = 2, CheckpointEvery = TimeSpan.FromHours(1) };
            SearchRun run = saved is null
                ? new SearchRun(Small, pace, TimeProvider.System) { OnCheckpoint = checkpoint => saved = checkpoint.ToBytes() }
                : new SearchRun(Small, RunCheckpoint.FromBytes(saved), pace, TimeProvider.System) { OnCheckpoint = checkpoint => saved = checkpoint.ToBytes() };
            Task<SearchResult> work = Task.Run(() => run.Run(Test, leave.Token), Test);
            leave.CancelAfter(TimeSpan.FromMilliseconds(20 * piece));
            try
            {
                pieced = await work;
            }
            catch (OperationCanceledException) when (!Test.IsCancellationRequested)
            {
            }
        }

        Assert.NotNull(saved);
        Assert.Equal(Text(Run(Small)), Text(pieced));
    }

    [Fact]
    public void Run_EndAfterAStop_FindsTheSameBuildsAgain()
    {
        Problem endless = Read("100000000");
        using CancellationTokenSource stop = new();
        SearchResult stopped = new SearchRun(endless, new RunPace { Threads = 2, ProgressEvery = TimeSpan.Zero }, TimeProvider.System)
        {
            OnProgress = progress =>
            {
                if (progress.Search.Evaluations > 20_000)
                {
                    stop.Cancel();
                }
            },
        }.Run(stop.Token);
        Assert.InRange(stopped.EndedAtEvaluations!.Value, 20_000, stopped.Evaluations);

        // Minutes, which no time is left of, do not cut a replay short.
        Problem again = endless with { Effort = endless.Effort with { EndAfter = stopped.EndedAtEvaluations, Minutes = 1e-9 } };
        SearchResult replayed = new SearchRun(again, new RunPace { Threads = 1 }, TimeProvider.System).Run(Test);

        Assert.Equal(StopReason.EvaluationsUsed, replayed.Reason);
        Assert.NotEmpty(replayed.Builds);
        Assert.Equal(FoundBuilds.Write(stopped, endless), FoundBuilds.Write(replayed, again));
        Assert.Equal(Text(stopped), Text(replayed with { Reason = StopReason.Stopped }));
    }

    [Fact]
    public void Run_StoppedAmidTheSearch_KeepsTheBestSoFar()
    {
        Problem endless = Read("100000000");
        using CancellationTokenSource stop = new();
        SearchRun run = new(endless, new RunPace { Threads = 2, ProgressEvery = TimeSpan.Zero }, TimeProvider.System)
        {
            OnProgress = progress =>
            {
                if (progress.Search.BestCost is not null)
                {
                    stop.Cancel();
                }
            },
        };

        SearchResult result = run.Run(stop.Token);

        Assert.Equal(StopReason.Stopped, result.Reason);
        Assert.NotEmpty(result.Builds);
        Assert.InRange(result.Evaluations, 1, 1_000_000);
    }

    [Fact]
    public void Run_MinutesUsedUp_EndsWithTheBestSoFarAndCountsTheTimeBeforeTheInterruption()
    {
        Problem endless = Read("100000000");
        endless = endless with { Effort = endless.Effort with { Minutes = 10 } };
        ManualClock clock = new();
        RunCheckpoint? half = null;
        using CancellationTokenSource leave = new();
        SearchRun first = new(endless, new RunPace { ProgressEvery = TimeSpan.Zero }, clock)
        {
            OnProgress = progress =>
            {
                clock.Advance(TimeSpan.FromMinutes(1));
                if (progress.Used >= TimeSpan.FromMinutes(4))
                {
                    leave.Cancel();
                }
            },
            OnCheckpoint = checkpoint => half = checkpoint,
        };
        Assert.Throws<OperationCanceledException>(() => first.Run(Test, leave.Token));
        Assert.InRange(half!.Used, TimeSpan.FromMinutes(4), TimeSpan.FromMinutes(9));

        int ticks = 0;
        SearchResult result = new SearchRun(endless, half, new RunPace { ProgressEvery = TimeSpan.Zero }, clock)
        {
            OnProgress = _ =>
            {
                clock.Advance(TimeSpan.FromMinutes(1));
                ticks++;
            },
        }.Run(Test);

        Assert.Equal(StopReason.TimeUsed, result.Reason);
        Assert.NotEmpty(result.Builds);
        Assert.InRange(ticks, 1, 9);
    }

    [Fact]
    public void Run_Progress_BeginsAtNothingAndEndsWithTheResult()
    {
        List<RunProgress> heard = [];

        SearchResult result = new SearchRun(Small, new RunPace { ProgressEvery = TimeSpan.Zero }, TimeProvider.System) { OnProgress = heard.Add }.Run(Test);

        Assert.Equal(0, heard[0].Search.Evaluations);
        Assert.Equal(result.Evaluations, heard[^1].Search.Evaluations);
        Assert.Equal(heard.Select(progress => progress.Search.Evaluations).Order(), heard.Select(progress => progress.Search.Evaluations));
        Assert.All(heard, progress => Assert.True(progress.EvaluationsPerSecond >= 0));
    }

    [Fact]
    public void Complaint_NothingFits_NamesTheLimit()
    {
        using JobDesk desk = new();
        SearchResult result = Run(desk.Good(JobDesk.With("\"limits\": { \"maxPartsCost\": 5 }")).Problem);

        Assert.Empty(result.Builds);
        Assert.StartsWith("no layout fits: limits.maxPartsCost", RunVerdict.Complaint(result), StringComparison.Ordinal);
    }

    private static SearchResult Run(Problem problem) => new SearchRun(problem, new RunPace(), TimeProvider.System).Run(Test);

    private static string Text(SearchResult result) => JsonSerializer.Serialize(result, Json);

    private static Problem Read(string evaluations)
    {
        using JobDesk desk = new();
        return desk.Good(JobDesk.With($$"""
            "name": "small", "effort": { "evaluations": {{evaluations}}, "seed": 3, "keep": 4 },
            "ways": [ { "name": "low", "receivers": { "tags": ["low"] }, "counts": [1], "networks": [ ["series-resistor"] ], "tube": { "boresMm": [1.5] } },
                      { "name": "high", "receivers": { "tags": ["high"] }, "counts": [1], "polarity": ["normal"], "tube": { "boresMm": [1.5] },
                        "networks": [ ["series-resistor", "series-capacitor"], ["series-resistor"] ] } ]
            """)).Problem;
    }
}
