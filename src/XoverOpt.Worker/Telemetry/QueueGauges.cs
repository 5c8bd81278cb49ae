using System.Diagnostics.Metrics;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Telemetry;

/// <summary>What the store holds, as gauges that are read when somebody looks.</summary>
internal sealed class QueueGauges : IHostedService
{
    /// <summary>Adds the gauges; the factory takes them away with the host.</summary>
    public QueueGauges(IMeterFactory meters, IRunStore store, WorkerSettings settings)
    {
        Meter meter = meters.Create(WorkerTelemetry.Name);
        meter.CreateObservableGauge(
            "xoveropt.runs",
            () =>
            {
                IReadOnlyDictionary<RunState, int> counts = store.Count();
                return Enum.GetValues<RunState>().Select(state =>
                    new Measurement<int>(counts.GetValueOrDefault(state), new KeyValuePair<string, object?>("state", RunStateText.Of(state))));
            },
            unit: "{run}",
            description: "Runs in the store by state; waiting is the length of the queue.");
        if (StoreDisk.Of(settings) is { } disk)
        {
            meter.CreateObservableGauge("xoveropt.store.disk.free", () => disk.FreeBytes, unit: "By", description: "Free space on the disk of the store.");
        }
    }

    /// <inheritdoc/>
    public Task StartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    /// <inheritdoc/>
    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;
}
