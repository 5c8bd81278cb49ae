namespace XoverOpt.Workshop.Tests.Store;

public sealed class SqliteScheduleTests() : ScheduleContract(new SqlitePlace());

public sealed class SqliteEventTests() : EventContract(new SqlitePlace());

public sealed class SqliteShardTests() : ShardContract(new SqlitePlace());

public sealed class SqliteKeyTests() : KeyContract(new SqlitePlace());

public sealed class SqliteOutboxTests() : OutboxContract(new SqlitePlace());

public sealed class SqlitePartUseTests() : PartUseContract(new SqlitePlace());
