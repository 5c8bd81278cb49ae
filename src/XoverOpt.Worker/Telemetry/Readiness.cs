using System.Data.Common;
using System.Globalization;
using Hangfire;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Telemetry;

/// <summary>Whether the worker can take jobs and work on them: store, queue, disk.</summary>
public sealed class Readiness(IRunStore store, JobStorage queue, WorkerSettings settings, TimeProvider clock, ILogger<Readiness> log)
{
    // The queue's server tells every half a minute that it lives.
    private static readonly TimeSpan SilentFor = TimeSpan.FromMinutes(2);

    private static readonly string Own = $"{Environment.MachineName}:{Environment.ProcessId}";

    /// <summary>What stands in the way; none when ready.</summary>
    /// <param name="runs">Runs in each state; null if the store cannot be read.</param>
    internal IReadOnlyList<FaultView> Obstacles(out IReadOnlyDictionary<string, int>? runs)
    {
        List<FaultView> faults = [];
        runs = null;
        try
        {
            runs = store.Count().ToDictionary(pair => RunStateText.Of(pair.Key), pair => pair.Value);
        }
        catch (Exception failure) when (failure is DbException or StoreException or IOException)
        {
            log.LogWarning("Not ready: the store cannot be read: {Failure}", failure.Message);
            faults.Add(new FaultView("store", "a store that cannot be read; the log says why", "a store that can be read"));
        }

        DateTime since = clock.GetUtcNow().UtcDateTime - SilentFor;
        try
        {
            if (!queue.GetMonitoringApi().Servers().Any(server => server.Name.StartsWith(Own, StringComparison.OrdinalIgnoreCase) && server.Heartbeat >= since))
            {
                faults.Add(new FaultView("queue", "no sign of life from this process's queue for two minutes", "a queue that works", "Restart the worker; no run is lost by it."));
            }
        }
        catch (Exception failure) when (failure is DbException or IOException or BackgroundJobClientException)
        {
            log.LogWarning("Not ready: the queue cannot be asked: {Failure}", failure.Message);
            faults.Add(new FaultView("queue", "a queue that cannot be asked; the log says why", "a queue that works"));
        }

        if (StoreDisk.Of(settings) is { } disk && disk.FreeBytes < settings.FreeDiskMegabytes * 1_000_000L)
        {
            faults.Add(new FaultView(
                "disk",
                string.Create(CultureInfo.InvariantCulture, $"{disk.FreeBytes / 1_000_000} MB free where the store is"),
                string.Create(CultureInfo.InvariantCulture, $"at least {settings.FreeDiskMegabytes} MB"),
                "Make room, or delete old runs."));
        }

        return faults;
    }
}
