using System.Data.Common;
using System.Text.Json;
using System.Text.Json.Nodes;
using Dapper;

namespace XoverOpt.Workshop.Store.Sql;

/// <summary>A write transaction with the events and the news that go with it.</summary>
internal sealed class StoreWrite : IDisposable
{
    private readonly Database _database;
    private readonly DbConnection _connection;
    private readonly DbTransaction _transaction;
    private readonly HashSet<string> _topics = [];

    public StoreWrite(Database database)
    {
        _database = database;
        _connection = database.Connect();
        try
        {
            _transaction = database.Begin(_connection);
        }
        catch
        {
            _connection.Dispose();
            throw;
        }
    }

    public T? One<T>(string sql, object? values = null) => _connection.QuerySingleOrDefault<T>(sql, values, _transaction);

    public IReadOnlyList<T> Many<T>(string sql, object? values = null) => _connection.Query<T>(sql, values, _transaction).AsList();

    /// <summary>The rows changed.</summary>
    public int Execute(string sql, object? values = null) => _connection.Execute(sql, values, _transaction);

    /// <summary>Adds an event to a run.</summary>
    public void Event(string runId, string kind, string data)
    {
        // The run's row is locked by this until the commit, so that numbers become visible in their order.
        long sequence = One<long>("update runs set last_event = last_event + 1 where id = @runId returning last_event", new { runId });
        if (kind == EventKind.Progress)
        {
            Execute("delete from events where run_id = @runId and kind = @kind", new { runId, kind });
        }

        Execute(
            "insert into events (run_id, sequence, at, kind, data) values (@runId, @sequence, now_ms(), @kind, @data)",
            new { runId, sequence, kind, data });
        Tell(NewsTopic.Run(runId));
        if (kind == EventKind.State)
        {
            Tell(NewsTopic.States);
        }
    }

    /// <summary>Adds an event to a run; members that are null are left out.</summary>
    public void Event(string runId, string kind, params (string Name, JsonNode? Value)[] members) =>
        Event(runId, kind, new JsonObject(members.Where(member => member.Value is not null)
            .Select(member => KeyValuePair.Create(member.Name, member.Value))).ToJsonString(JsonSerializerOptions.Web));

    /// <summary>News to be told once this is committed.</summary>
    public void Tell(string topic) => _topics.Add(topic);

    public void Commit() => _database.Commit(_transaction, _topics);

    public void Dispose()
    {
        _transaction.Dispose();
        _connection.Dispose();
    }
}
