using Npgsql;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>A store in a database of its own. The test's clock is put in the place of the database's.</summary>
public sealed class PostgresPlace : StorePlace
{
    private readonly WorkshopStore _store;
    private readonly NpgsqlDataSource _admin;

    public PostgresPlace(PostgresCluster cluster)
    {
        Address = cluster.NewDatabase();
        _store = WorkshopStore.Open(Address, TimeProvider.System);
        _admin = NpgsqlDataSource.Create(Address + ";Search Path=xoveropt");
        Execute("create table test_clock (ms bigint not null)");
        Execute("insert into test_clock values (0)");
        Tell();
        Execute("create or replace function now_ms() returns bigint language sql stable as 'select ms from xoveropt.test_clock'");
        Clock.Moved += Tell;
    }

    public string Address { get; }

    public override WorkshopStore Store => _store;

    public void Execute(string sql)
    {
        using NpgsqlCommand command = _admin.CreateCommand(sql);
        command.ExecuteNonQuery();
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _store.Dispose();
            _admin.Dispose();
        }
    }

    private void Tell() => Execute(FormattableString.Invariant($"update test_clock set ms = {Clock.GetUtcNow().ToUnixTimeMilliseconds()}"));
}
