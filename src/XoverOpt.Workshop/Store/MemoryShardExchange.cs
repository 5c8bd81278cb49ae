namespace XoverOpt.Workshop.Store;

/// <summary>The exchange of a store that only one process uses: nothing of it need outlive the process.</summary>
internal sealed class MemoryShardExchange(IRunStore runs, NewsBoard news, TimeProvider clock) : IShardExchange
{
    private readonly Lock _gate = new();

    // In the order in which they were posted.
    private readonly List<Entry> _entries = [];

    /// <inheritdoc/>
    public bool Post(string runId, long epoch, long batch, IReadOnlyList<byte[]> payloads)
    {
        if (runs.Look(runId, epoch) == LeaseSignal.Lost)
        {
            return false;
        }

        lock (_gate)
        {
            _entries.RemoveAll(entry => entry.RunId == runId && entry.Epoch < epoch);
            HashSet<int> there = [.. Of(runId, epoch, batch).Select(entry => entry.Number)];
            _entries.AddRange(Enumerable.Range(0, payloads.Count).Where(number => !there.Contains(number))
                .Select(number => new Entry(runId, epoch, batch, number, payloads[number])));
        }

        news.Tell(NewsTopic.Shards);
        return true;
    }

    /// <inheritdoc/>
    public Shard? Take(string owner, TimeSpan lease, string? runId = null)
    {
        lock (_gate)
        {
            long now = clock.GetTimestamp();
            while (_entries.Find(entry => entry.Result is null && entry.FreeFrom <= now && (runId is null || entry.RunId == runId)) is { } entry)
            {
                if (runs.Look(entry.RunId, entry.Epoch) == LeaseSignal.Lost)
                {
                    _entries.RemoveAll(other => other.RunId == entry.RunId && other.Epoch == entry.Epoch);
                    continue;
                }

                entry.FreeFrom = After(lease);
                return new Shard(entry.RunId, entry.Epoch, entry.Batch, entry.Number, ++entry.Fence, entry.Payload);
            }

            return null;
        }
    }

    /// <inheritdoc/>
    public bool Renew(Shard shard, TimeSpan lease) => Change(shard, entry => entry.FreeFrom = After(lease));

    /// <inheritdoc/>
    public bool Deliver(Shard shard, byte[] result)
    {
        bool counted = Change(shard, entry => entry.Result = result);
        if (counted)
        {
            news.Tell(NewsTopic.Results(shard.RunId));
        }

        return counted;
    }

    /// <inheritdoc/>
    public void GiveBack(Shard shard)
    {
        if (Change(shard, entry => entry.FreeFrom = long.MinValue))
        {
            news.Tell(NewsTopic.Shards);
        }
    }

    /// <inheritdoc/>
    public ShardsOfBatch Collect(string runId, long epoch, long batch)
    {
        lock (_gate)
        {
            Entry[] entries = [.. Of(runId, epoch, batch).OrderBy(entry => entry.Number)];
            return new ShardsOfBatch(
                [.. entries.Where(entry => entry.Result is not null).Select(entry => new ShardResult(entry.Number, entry.Result!))],
                [.. entries.Where(entry => entry.Result is null).Select(entry => entry.Number)]);
        }
    }

    /// <inheritdoc/>
    public void Discard(string runId, long epoch, long batch, IReadOnlyCollection<int>? numbers = null)
    {
        lock (_gate)
        {
            HashSet<Entry> dropped = [.. Of(runId, epoch, batch).Where(entry => numbers is null || numbers.Contains(entry.Number))];
            _entries.RemoveAll(dropped.Contains);
        }
    }

    private IEnumerable<Entry> Of(string runId, long epoch, long batch) =>
        _entries.Where(entry => entry.RunId == runId && entry.Epoch == epoch && entry.Batch == batch);

    private long After(TimeSpan time) => clock.GetTimestamp() + (long)(time.TotalSeconds * clock.TimestampFrequency);

    private bool Change(Shard shard, Action<Entry> change)
    {
        lock (_gate)
        {
            Entry? entry = Of(shard.RunId, shard.Epoch, shard.Batch).FirstOrDefault(entry => entry.Number == shard.Number);
            if (entry is null || entry.Fence != shard.Fence || entry.Result is not null)
            {
                return false;
            }

            change(entry);
            return true;
        }
    }

    private sealed class Entry(string runId, long epoch, long batch, int number, byte[] payload)
    {
        public string RunId { get; } = runId;

        public long Epoch { get; } = epoch;

        public long Batch { get; } = batch;

        public int Number { get; } = number;

        public byte[] Payload { get; } = payload;

        public byte[]? Result { get; set; }

        public long Fence { get; set; }

        public long FreeFrom { get; set; } = long.MinValue;
    }
}
