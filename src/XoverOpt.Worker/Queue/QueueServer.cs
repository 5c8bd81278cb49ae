using Hangfire;
using XoverOpt.Worker.Host;

namespace XoverOpt.Worker.Queue;

/// <summary>Runs the queue's workers as long as the host runs; at the end lets them leave their runs in good order.</summary>
public sealed class QueueServer(JobStorage storage, JobActivator activator, WorkerSettings settings) : IHostedService, IDisposable
{
    private BackgroundJobServer? _server;

    /// <inheritdoc/>
    public Task StartAsync(CancellationToken cancellationToken)
    {
        _server = new BackgroundJobServer(
            new BackgroundJobServerOptions
            {
                Activator = activator,
                WorkerCount = settings.RunsAtOnce,
                CancellationCheckInterval = TimeSpan.FromSeconds(1),
                StopTimeout = TimeSpan.Zero,
                ShutdownTimeout = TimeSpan.FromSeconds(20),
            },
            storage);
        return Task.CompletedTask;
    }

    /// <inheritdoc/>
    public async Task StopAsync(CancellationToken cancellationToken)
    {
        if (_server is { } server)
        {
            server.SendStop();
            await server.WaitForShutdownAsync(cancellationToken).ConfigureAwait(false);
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _server?.Dispose();
}
