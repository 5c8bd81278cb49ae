using System.Collections.Concurrent;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>The exchange of shards.</summary>
public abstract class ShardContract(StorePlace place) : StoreContract(place)
{
    private IShardExchange Shards => Whole.Shards;

    [Fact]
    public void Take_Posted_GivesTheOldestFirstOfAnyRun()
    {
        RunClaim one = Held();
        RunClaim two = Held();
        Assert.True(Shards.Post(one.RunId, one.Epoch, 7, [[1], [2]]));
        Assert.True(Shards.Post(two.RunId, two.Epoch, 1, [[3]]));

        Shard own = Shards.Take("me", Lease, two.RunId)!;
        Shard[] rest = [Shards.Take("me", Lease)!, Shards.Take("me", Lease)!];

        Assert.Equal((two.RunId, two.Epoch, 1L, 0, 1L), (own.RunId, own.Epoch, own.Batch, own.Number, own.Fence));
        Assert.Equal([(one.RunId, 7L, 0), (one.RunId, 7L, 1)], rest.Select(shard => (shard.RunId, shard.Batch, shard.Number)));
        Assert.Equal([3], own.Payload);
        Assert.Equal([2], rest[1].Payload);
        Assert.Null(Shards.Take("me", Lease));
    }

    [Fact]
    public void Collect_AsResultsCome_GivesThemUntilDiscarded()
    {
        RunClaim run = Held();
        Shards.Post(run.RunId, run.Epoch, 1, [[10], [11], [12]]);
        Shards.Take("a", Lease);
        Assert.True(Shards.Deliver(Shards.Take("b", Lease)!, [99]));

        ShardsOfBatch first = Shards.Collect(run.RunId, run.Epoch, 1);
        Assert.Equal((1, 99), (first.Results.Single().Number, first.Results.Single().Result.Single()));
        Assert.Equal([0, 2], first.Waiting);
        Shards.Discard(run.RunId, run.Epoch, 1, [1]);

        ShardsOfBatch then = Shards.Collect(run.RunId, run.Epoch, 1);
        Assert.Empty(then.Results);
        Assert.Equal([0, 2], then.Waiting);
        Shards.Discard(run.RunId, run.Epoch, 1);
        Assert.Empty(Shards.Collect(run.RunId, run.Epoch, 1).Waiting);
    }

    [Fact]
    public void Deliver_AfterTheLeaseRanOut_CountsForTheOneWhoTookItLast()
    {
        RunClaim run = Held();
        Shards.Post(run.RunId, run.Epoch, 1, [[1]]);
        Shard slow = Shards.Take("slow", TimeSpan.FromSeconds(5))!;
        Clock.Advance(TimeSpan.FromSeconds(6));
        Shard quick = Shards.Take("quick", TimeSpan.FromSeconds(5))!;

        Assert.Equal(slow.Fence + 1, quick.Fence);
        Assert.False(Shards.Renew(slow, Lease));
        Assert.False(Shards.Deliver(slow, [1]));
        Assert.True(Shards.Renew(quick, Lease));
        Assert.True(Shards.Deliver(quick, [2]));
        Assert.False(Shards.Deliver(quick, [3]));
        Assert.Equal([2], Shards.Collect(run.RunId, run.Epoch, 1).Results.Single().Result);
    }

    [Fact]
    public void GiveBack_Shard_IsTakenAtOnce()
    {
        RunClaim run = Held();
        Shards.Post(run.RunId, run.Epoch, 1, [[1]]);
        Shards.GiveBack(Shards.Take("me", Lease)!);

        Assert.Equal(2, Shards.Take("you", Lease)!.Fence);
    }

    [Fact]
    public void Post_Again_KeepsWhatIsThereAndAddsWhatIsLost()
    {
        RunClaim run = Held();
        Shards.Post(run.RunId, run.Epoch, 1, [[1], [2]]);
        Shards.Deliver(Shards.Take("me", Lease)!, [9]);
        Shards.Discard(run.RunId, run.Epoch, 1, [1]);

        Assert.True(Shards.Post(run.RunId, run.Epoch, 1, [[1], [2]]));

        ShardsOfBatch batch = Shards.Collect(run.RunId, run.Epoch, 1);
        Assert.Equal([0], batch.Results.Select(result => result.Number));
        Assert.Equal([1], batch.Waiting);
    }

    [Fact]
    public void Post_UnderAnOldEpoch_IsRefusedAndItsShardsAreNobodys()
    {
        RunClaim old = Held();
        Shards.Post(old.RunId, old.Epoch, 1, [[1]]);
        Clock.Advance(Lease * 2);
        RunClaim next = Store.TryClaim(old.RunId, "next", Lease)!;

        Assert.Null(Shards.Take("me", Lease));
        Assert.False(Shards.Post(old.RunId, old.Epoch, 2, [[1]]));
        Assert.True(Shards.Post(next.RunId, next.Epoch, 1, [[2]]));
        Assert.Equal([2], Shards.Take("me", Lease)!.Payload);
        Assert.Empty(Shards.Collect(old.RunId, old.Epoch, 1).Waiting);
    }

    [Fact]
    public async Task Take_FromManyThreads_HandsOutEachOnce()
    {
        RunClaim run = Held();
        Shards.Post(run.RunId, run.Epoch, 1, [.. Enumerable.Range(0, 60).Select(number => new[] { (byte)number })]);
        ConcurrentBag<int> taken = [];
        Task ready = Whole.News.Coming(NewsTopic.Results(run.RunId));

        await Task.WhenAll(Enumerable.Range(0, 6).Select(worker => Task.Run(() =>
        {
            while (Shards.Take($"worker {worker}", Lease) is { } shard)
            {
                taken.Add(shard.Number);
                Assert.True(Shards.Deliver(shard, shard.Payload));
            }
        })));

        Assert.Equal(Enumerable.Range(0, 60), taken.Order());
        Assert.Equal(Enumerable.Range(0, 60), Shards.Collect(run.RunId, run.Epoch, 1).Results.Select(result => (int)result.Result[0]));
        await ready.WaitAsync(TimeSpan.FromMinutes(1), TestContext.Current.CancellationToken);
    }
}
