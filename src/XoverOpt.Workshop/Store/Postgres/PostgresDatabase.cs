using System.Data;
using System.Data.Common;
using Dapper;
using Npgsql;
using XoverOpt.Workshop.Store.Sql;

namespace XoverOpt.Workshop.Store.Postgres;

/// <summary>The schema <c>xoveropt</c> of a PostgreSQL database. Its clock is the database's, which every host sees alike.</summary>
internal sealed class PostgresDatabase : Database
{
    private const string Channel = "xoveropt_news";
    private static readonly TimeSpan TryAgainAfter = TimeSpan.FromMilliseconds(500);

    private readonly NpgsqlDataSource _source;
    private readonly CancellationTokenSource _end = new();
    private readonly Task _listening;

    /// <summary>Opens the database and brings its tables up to this version.</summary>
    /// <exception cref="StoreException">It cannot be reached or used, or comes from a later version.</exception>
    public PostgresDatabase(StoreAddress address)
    {
        NpgsqlConnectionStringBuilder parts = new(address.Connection)
        {
            SearchPath = "xoveropt",
            PersistSecurityInfo = false,
        };
        parts.ApplicationName ??= "xoveropt";

        // Dead peers are noticed while nothing is asked of them, too: the listener waits for hours.
        parts.KeepAlive = parts.KeepAlive > 0 ? parts.KeepAlive : 10;
        _source = NpgsqlDataSource.Create(parts);
        try
        {
            using NpgsqlConnection connection = _source.OpenConnection();
            PostgresMigrations.Apply(connection);
        }
        catch (Exception failure) when (failure is NpgsqlException or System.Net.Sockets.SocketException or TimeoutException or ArgumentException)
        {
            _source.Dispose();
            throw new StoreException($"The store ({address}) cannot be used: {(failure as PostgresException)?.MessageText ?? failure.Message}");
        }
        catch
        {
            _source.Dispose();
            throw;
        }

        _listening = Task.Run(Listen);
    }

    /// <inheritdoc/>
    public override string ForUpdate => "for update";

    /// <inheritdoc/>
    public override DbConnection Connect() => _source.OpenConnection();

    /// <inheritdoc/>
    public override DbTransaction Begin(DbConnection connection) => connection.BeginTransaction(IsolationLevel.ReadCommitted);

    /// <inheritdoc/>
    public override void Commit(DbTransaction transaction, IReadOnlyCollection<string> topics)
    {
        if (topics.Count > 0)
        {
            transaction.Connection!.Execute(
                $"select pg_notify('{Channel}', topic) from unnest(@topics) topic", new { topics = topics.ToArray() }, transaction);
        }

        transaction.Commit();
    }

    /// <inheritdoc/>
    public override void DropShards(StoreWrite write, string runId) => write.Execute("delete from shards where run_id = @runId", new { runId });

    /// <inheritdoc/>
    public override void Dispose()
    {
        _end.Cancel();
        _listening.Wait();
        _end.Dispose();
        _source.Dispose();
    }

    private async Task Listen()
    {
        while (!_end.IsCancellationRequested)
        {
            try
            {
                NpgsqlConnection connection = await _source.OpenConnectionAsync(_end.Token).ConfigureAwait(false);
                await using (connection.ConfigureAwait(false))
                {
                    connection.Notification += (_, news) => News.Tell(news.Payload);
                    await connection.ExecuteAsync($"listen {Channel}").ConfigureAwait(false);
                    News.TellAll();
                    while (true)
                    {
                        await connection.WaitAsync(_end.Token).ConfigureAwait(false);
                    }
                }
            }
            catch (OperationCanceledException)
            {
                // Closing.
            }
            catch (Exception failure) when (failure is DbException or IOException or System.Net.Sockets.SocketException or TimeoutException)
            {
                // Until the database is back, those who wait look for themselves; then they are told to.
                await Task.Delay(TryAgainAfter, CancellationToken.None).ConfigureAwait(false);
            }
        }
    }
}
