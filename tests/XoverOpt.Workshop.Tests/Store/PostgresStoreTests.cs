using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

public sealed class PostgresScheduleTests(PostgresCluster cluster) : ScheduleContract(new PostgresPlace(cluster));

public sealed class PostgresEventTests(PostgresCluster cluster) : EventContract(new PostgresPlace(cluster));

public sealed class PostgresShardTests(PostgresCluster cluster) : ShardContract(new PostgresPlace(cluster))
{
    [Fact]
    public void Finish_OfARun_LeavesNoShardsOfIt()
    {
        RunClaim run = Held();
        Whole.Shards.Post(run.RunId, run.Epoch, 1, [[1], [2]]);

        Store.Finish(run.RunId, run.Epoch, Done());

        Assert.Empty(Whole.Shards.Collect(run.RunId, run.Epoch, 1).Waiting);
    }
}

public sealed class PostgresKeyTests(PostgresCluster cluster) : KeyContract(new PostgresPlace(cluster));

public sealed class PostgresOutboxTests(PostgresCluster cluster) : OutboxContract(new PostgresPlace(cluster));

public sealed class PostgresPartUseTests(PostgresCluster cluster) : PartUseContract(new PostgresPlace(cluster));
