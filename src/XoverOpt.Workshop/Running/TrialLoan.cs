using Microsoft.Extensions.Logging;
using XoverOpt.Search;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Running;

/// <summary>
/// Lends the last trials of a held run's batches to other workers, and takes their results back, from a thread of its own: no thread that
/// evaluates ever waits for the store. One shard a batch is lent as long as nobody helps; the more come back in time, the more are lent of
/// the next. What is lost, late or wrong is evaluated by the holder, so that nothing depends on other workers but the time.
/// </summary>
public sealed class TrialLoan
{
    // A shard is a few hundredths of a second of work: of a large batch, whose trials are small, a few trials, else one.
    private const int ShardsOfABatch = 12;
    private const int MostTrials = 8;

    // Results that no news tells of are looked for this often.
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(50);

    private readonly IShardExchange _exchange;
    private readonly INews _news;
    private readonly RunClaim _claim;
    private readonly CheckpointOrigin _origin;
    private readonly ILogger _log;
    private readonly Lock _gate = new();
    private readonly List<Lent> _lent = [];
    private int _shards = 1;
    private long _batches;

    /// <summary>Prepares to lend trials of a run.</summary>
    public TrialLoan(IShardExchange exchange, INews news, RunClaim claim, Problem problem, ILogger log)
    {
        _exchange = exchange;
        _news = news;
        _claim = claim;
        _origin = CheckpointOrigin.Of(problem);
        _log = log;
    }

    /// <summary>Decides how many of the last trials of a new batch are lent, and has them posted.</summary>
    internal int Lend(Batch batch)
    {
        lock (_gate)
        {
            // The holder keeps as much as a shard at least: it has nothing else to begin with.
            int size = Math.Clamp(batch.Trials.Count / ShardsOfABatch, 1, MostTrials), shards = Math.Min(_shards, (batch.Trials.Count / size) - 1);
            if (shards < 1)
            {
                return 0;
            }

            _lent.Add(new Lent(batch, _batches++, shards, size));
            return shards * size;
        }
    }

    /// <summary>Posts and collects until the token ends it.</summary>
    internal void Run(TrialCrew crew, Func<IReadOnlyList<Batch>> outstanding, CancellationToken end)
    {
        while (!end.IsCancellationRequested)
        {
            try
            {
                Task news = _news.Coming(NewsTopic.Results(_claim.RunId));
                Once(crew, outstanding());
                news.WaitAsync(LookEvery, end).Wait(CancellationToken.None);
            }
            catch (AggregateException waited) when (waited.InnerException is TimeoutException or OperationCanceledException)
            {
            }
            catch (Exception failure)
            {
                // The holder goes on by itself, whatever is wrong with lending.
                _log.LogWarning("Run {RunId}: no trials can be lent for a moment: {Failure}", _claim.RunId, failure.Message);
                end.WaitHandle.WaitOne(TimeSpan.FromSeconds(1));
            }
        }

        DropAll();
    }

    /// <summary>Nothing is wanted any more. Where the store is away, it drops what is left with the run's next epoch or the run.</summary>
    private void DropAll()
    {
        try
        {
            _lent.ForEach(loan => _exchange.Discard(_claim.RunId, _claim.Epoch, loan.Number));
        }
        catch (Exception failure)
        {
            _log.LogWarning("Run {RunId}: shards could not be dropped: {Failure}", _claim.RunId, failure.Message);
        }
    }

    private void Once(TrialCrew crew, IReadOnlyList<Batch> outstanding)
    {
        Lent[] lent;
        lock (_gate)
        {
            lent = [.. _lent];
        }

        foreach (Lent loan in lent)
        {
            bool wanted = outstanding.Contains(loan.Batch, ReferenceEqualityComparer.Instance);
            if (wanted && !loan.Posted)
            {
                loan.Posted = _exchange.Post(_claim.RunId, _claim.Epoch, loan.Number, [.. Enumerable.Range(0, loan.Shards).Select(shard =>
                    new ShardWork(_origin, [.. loan.Batch.Trials.Skip(loan.First(shard)).Take(loan.Size)]).ToBytes())]);
            }
            else if (wanted)
            {
                Collect(crew, loan);
            }
            else
            {
                Close(loan);
            }
        }
    }

    private void Collect(TrialCrew crew, Lent loan)
    {
        ShardsOfBatch shards = _exchange.Collect(_claim.RunId, _claim.Epoch, loan.Number);
        foreach (ShardResult shard in shards.Results)
        {
            IReadOnlyList<TrialResult> results = ShardWork.Results(shard.Result);
            if (results.Count == loan.Size && shard.Number < loan.Shards && crew.TakeBack(loan.Batch, loan.First(shard.Number), results) > 0)
            {
                loan.Back++;
                RunMeter.ShardsReturned.Add(1);
            }
        }

        if (shards.Results.Count > 0)
        {
            _exchange.Discard(_claim.RunId, _claim.Epoch, loan.Number, [.. shards.Results.Select(shard => shard.Number)]);
        }
    }

    /// <summary>The batch is told or dropped: what came back from other workers decides how much is lent of the next.</summary>
    private void Close(Lent loan)
    {
        if (loan.Posted)
        {
            _exchange.Discard(_claim.RunId, _claim.Epoch, loan.Number);
        }

        lock (_gate)
        {
            _lent.Remove(loan);
            _shards = loan.Back == loan.Shards ? loan.Shards + ((loan.Shards + 1) / 2) : Math.Max(1, loan.Back);
        }
    }

    private sealed class Lent(Batch batch, long number, int shards, int size)
    {
        public Batch Batch { get; } = batch;

        public long Number { get; } = number;

        public int Shards { get; } = shards;

        public int Size { get; } = size;

        public bool Posted { get; set; }

        public int Back { get; set; }

        /// <summary>Place of the first trial of a shard.</summary>
        public int First(int shard) => Batch.Trials.Count - ((Shards - shard) * Size);
    }
}
