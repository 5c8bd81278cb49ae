namespace XoverOpt.Workshop.Tests.Store;

public sealed class PostgresScheduleTests(PostgresCluster cluster) : ScheduleContract(new PostgresPlace(cluster));

public sealed class PostgresEventTests(PostgresCluster cluster) : EventContract(new PostgresPlace(cluster));

public sealed class PostgresShardTests(PostgresCluster cluster) : ShardContract(new PostgresPlace(cluster));

public sealed class PostgresKeyTests(PostgresCluster cluster) : KeyContract(new PostgresPlace(cluster));

public sealed class PostgresOutboxTests(PostgresCluster cluster) : OutboxContract(new PostgresPlace(cluster));

public sealed class PostgresPartUseTests(PostgresCluster cluster) : PartUseContract(new PostgresPlace(cluster));
