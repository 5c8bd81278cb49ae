namespace XoverOpt.Workshop.Store.Sql;

/// <summary>The notices, in a database.</summary>
internal sealed class SqlOutbox(Database database) : IOutbox
{
    private const string Columns =
        "run_id as RunId, url as Url, attempts as Attempts, next_at as NextAt, delivered_at as DeliveredAt, last_failure as LastFailure";

    private const string Mine = "run_id = @RunId and attempts = @Attempts and delivered_at is null";

    private readonly string _skipLocked = database.ForUpdate.Length == 0 ? "" : database.ForUpdate + " skip locked";

    /// <inheritdoc/>
    public Notice? Take(TimeSpan lease) => database.One<NoticeRow>(
        $"""
        update outbox set attempts = attempts + 1, next_at = now_ms() + @lease
        where run_id = (select run_id from outbox where next_at <= now_ms() order by next_at, run_id limit 1 {_skipLocked})
        returning {Columns}
        """,
        new { lease = StoreTime.Of(lease) })?.ToNotice();

    /// <inheritdoc/>
    public void Delivered(Notice notice) => database.Changes(
        $"update outbox set delivered_at = now_ms(), next_at = null, last_failure = null where {Mine}", new { notice.RunId, notice.Attempts });

    /// <inheritdoc/>
    public void Failed(Notice notice, string failure, TimeSpan? tryAgainAfter) => database.Changes(
        $"update outbox set last_failure = @failure, next_at = now_ms() + @wait where {Mine}",
        new { notice.RunId, notice.Attempts, failure, wait = tryAgainAfter is { } wait ? StoreTime.Of(wait) : (long?)null });

    /// <inheritdoc/>
    public Notice? Find(string runId) =>
        database.One<NoticeRow>($"select {Columns} from outbox where run_id = @runId", new { runId })?.ToNotice();

    private sealed class NoticeRow
    {
        public string RunId { get; init; } = "";

        public string Url { get; init; } = "";

        public int Attempts { get; init; }

        public long? NextAt { get; init; }

        public long? DeliveredAt { get; init; }

        public string? LastFailure { get; init; }

        public Notice ToNotice() => new()
        {
            RunId = RunId,
            Url = Url,
            Attempts = Attempts,
            NextAttempt = StoreTime.Of(NextAt),
            Delivered = StoreTime.Of(DeliveredAt),
            LastFailure = LastFailure,
        };
    }
}
