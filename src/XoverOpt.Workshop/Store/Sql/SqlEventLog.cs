namespace XoverOpt.Workshop.Store.Sql;

/// <summary>The events, in a database.</summary>
internal sealed class SqlEventLog(Database database) : IEventLog
{
    /// <inheritdoc/>
    public IReadOnlyList<RunEvent> Events(string runId, long afterSequence, int take) =>
        [.. database.Many<EventRow>(
            """
            select sequence as Sequence, at as At, kind as Kind, data as Data from events
            where run_id = @runId and sequence > @afterSequence order by sequence limit @take
            """,
            new { runId, afterSequence, take }).Select(row => new RunEvent(row.Sequence, StoreTime.Of(row.At), row.Kind, row.Data))];

    private sealed class EventRow
    {
        public long Sequence { get; init; }

        public long At { get; init; }

        public string Kind { get; init; } = "";

        public string Data { get; init; } = "";
    }
}
