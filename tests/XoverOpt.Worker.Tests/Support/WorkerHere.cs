using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Routing;
using XoverOpt.Worker.Host;

namespace XoverOpt.Worker.Tests.Support;

/// <summary>A worker in this process, on a port of its own.</summary>
internal sealed class WorkerHere : IAsyncDisposable
{
    private readonly WebApplication _app;

    private WorkerHere(WebApplication app)
    {
        _app = app;
        Client = new WorkerClient(app.Urls.First());
    }

    public WorkerClient Client { get; }

    public IServiceProvider Services => _app.Services;

    /// <summary>The routes it has.</summary>
    public IReadOnlyList<RouteEndpoint> Routes => [.. ((IEndpointRouteBuilder)_app).DataSources.SelectMany(source => source.Endpoints).OfType<RouteEndpoint>()];

    public static async Task<WorkerHere> Start(Desk desk, string store = "store", Func<WorkerSettings, WorkerSettings>? change = null)
    {
        WorkerSettings settings = new()
        {
            Urls = ["http://127.0.0.1:0"],
            StorePath = Path.Combine(desk.Root, store),
            InventoryRoot = desk.Inventory,
            CheckpointEvery = TimeSpan.FromMilliseconds(50),
        };
        WebApplication app = WorkerApp.Build(change is null ? settings : change(settings));
        await app.StartAsync(TestContext.Current.CancellationToken);
        return new WorkerHere(app);
    }

    public async ValueTask DisposeAsync()
    {
        Client.Dispose();
        await _app.StopAsync();
        await _app.DisposeAsync();
    }
}
