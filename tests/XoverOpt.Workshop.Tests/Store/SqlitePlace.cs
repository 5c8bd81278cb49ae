using Microsoft.Data.Sqlite;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>A store in a folder.</summary>
public sealed class SqlitePlace : StorePlace
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("store");
    private WorkshopStore _store;

    public SqlitePlace() => _store = WorkshopStore.Open(_folder.FullName, Clock);

    public override WorkshopStore Store => _store;

    public DirectoryInfo Folder => _folder;

    /// <summary>As if the process had gone and another come.</summary>
    public void Reopen()
    {
        _store.Dispose();
        _store = WorkshopStore.Open(_folder.FullName, Clock);
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _store.Dispose();
            SqliteConnection.ClearAllPools();
            _folder.Delete(recursive: true);
        }
    }
}
