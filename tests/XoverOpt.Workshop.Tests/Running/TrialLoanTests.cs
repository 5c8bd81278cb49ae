using System.Collections.Concurrent;
using System.Text.Json;
using System.Text.Json.Serialization;
using Microsoft.Extensions.Logging.Abstractions;
using XoverOpt.Search;
using XoverOpt.Workshop.Running;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Running;

/// <summary>A run finds the same with other workers as without, whatever becomes of what it lends.</summary>
public sealed class TrialLoanTests
{
    private static readonly JsonSerializerOptions Json = new() { NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals };
    private static readonly Problem Small = Read();

    private static CancellationToken Test => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(Fate.Kept)]
    [InlineData(Fate.Lost)]
    [InlineData(Fate.CutShort)]
    [InlineData(Fate.Refused)]
    public void Run_LendingTrials_FindsWhatItFindsAlone(Fate fate)
    {
        Counter counter = new(fate);
        RunClaim claim = new() { RunId = "r", Epoch = 3, Step = 0, Attempts = 1, Job = "" };
        SearchResult alone = new SearchRun(Small, new RunPace { Threads = 1 }, TimeProvider.System).Run(Test);
        SearchResult helped = new SearchRun(Small, new RunPace { Threads = 1 }, TimeProvider.System)
        {
            Loan = new TrialLoan(counter, counter, claim, Small, NullLogger.Instance),
        }.Run(Test);

        Assert.True(counter.Posted > 0);
        Assert.Equal(JsonSerializer.Serialize(alone, Json), JsonSerializer.Serialize(helped, Json));
    }

    [Fact]
    public void Bench_Shard_GivesTheVeryResultsOfTheRunItself()
    {
        LayoutSearch search = new(Small);
        Trial[] trials = [.. search.Outstanding[0].Trials];
        ShardBench bench = new(runId => runId == "r" ? Small : null);
        byte[] payload = new ShardWork(CheckpointOrigin.Of(Small), trials).ToBytes();
        Shard shard = new("r", 1, 0, 0, 1, payload);

        Assert.Equal(payload, ShardWork.FromBytes(payload).ToBytes());
        Assert.Equal(
            JsonSerializer.Serialize(trials.Select(trial => search.Evaluate(trial, Test)), Json),
            JsonSerializer.Serialize(ShardWork.Results(bench.Evaluate(shard, Test)), Json));
        Assert.Null(bench.Evaluate(shard with { RunId = "unknown" }, Test));
        CheckpointOrigin own = CheckpointOrigin.Of(Small);
        foreach (CheckpointOrigin other in new[] { own with { ProgramVersion = "0" }, own with { JobHash = "0" }, own with { InventoryHash = "0" } })
        {
            Assert.Null(bench.Evaluate(shard with { Payload = new ShardWork(other, trials).ToBytes() }, Test));
        }
    }

    /// <summary>What becomes of every other shard.</summary>
    public enum Fate
    {
        /// <summary>It comes back like the rest.</summary>
        Kept,

        /// <summary>It never comes back.</summary>
        Lost,

        /// <summary>It comes back with a result missing.</summary>
        CutShort,

        /// <summary>The store fails when asked for it.</summary>
        Refused,
    }

    private static Problem Read()
    {
        using JobDesk desk = new();
        return desk.Good(JobDesk.With("""
            "name": "lent", "effort": { "evaluations": 12000, "seed": 3, "keep": 4 },
            "ways": [ { "name": "low", "receivers": { "tags": ["low"] }, "counts": [1], "networks": [ ["series-resistor"] ], "tube": { "boresMm": [1.5] } },
                      { "name": "high", "receivers": { "tags": ["high"] }, "counts": [1], "polarity": ["normal"], "tube": { "boresMm": [1.5] },
                        "networks": [ ["series-resistor", "series-capacitor"], ["series-resistor"] ] } ]
            """)).Problem;
    }

    /// <summary>An exchange whose shards are evaluated the moment they are posted.</summary>
    private sealed class Counter(Fate fate) : IShardExchange, INews
    {
        private readonly ShardBench _bench = new(_ => Small);
        private readonly ConcurrentDictionary<(long Batch, int Number), byte[]> _results = new();
        private int _asked;

        public int Posted { get; private set; }

        public bool Post(string runId, long epoch, long batch, IReadOnlyList<byte[]> payloads)
        {
            Assert.Equal(("r", 3L), (runId, epoch));
            for (int number = 0; number < payloads.Count; number++)
            {
                bool odd = Posted++ % 2 == 1;
                byte[] result = _bench.Evaluate(new Shard(runId, epoch, batch, number, 1, payloads[number]), Test)!;
                if (!odd || fate != Fate.Lost)
                {
                    _results[(batch, number)] = odd && fate == Fate.CutShort ? ShardWork.Results(Array.Empty<TrialResult>()) : result;
                }
            }

            return true;
        }

        public ShardsOfBatch Collect(string runId, long epoch, long batch) => fate == Fate.Refused && _asked++ == 0
            ? throw new IOException("the store is away")
            : new ShardsOfBatch([.. _results.Where(entry => entry.Key.Batch == batch).Select(entry => new ShardResult(entry.Key.Number, entry.Value))], []);

        public void Discard(string runId, long epoch, long batch, IReadOnlyCollection<int>? numbers = null)
        {
            foreach ((long Batch, int Number) key in _results.Keys.Where(key => key.Batch == batch && (numbers?.Contains(key.Number) ?? true)))
            {
                _results.TryRemove(key, out _);
            }
        }

        public Shard? Take(string owner, TimeSpan lease, string? runId = null) => null;

        public bool Renew(Shard shard, TimeSpan lease) => false;

        public bool Deliver(Shard shard, byte[] result) => false;

        public void GiveBack(Shard shard)
        {
        }

        public Task Coming(string topic) => Task.CompletedTask;
    }
}
