using OpenTelemetry;
using OpenTelemetry.Metrics;
using OpenTelemetry.Resources;
using OpenTelemetry.Trace;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Telemetry;

/// <summary>Metrics at /metrics, and, where an address is set, metrics and the traces of runs and requests by OTLP.</summary>
internal static class WorkerTelemetry
{
    /// <summary>The meter and the source of traces of this program.</summary>
    public const string Name = "XoverOpt";

    private static readonly string[] Everyday = ["/health", "/metrics"];

    /// <summary>Adds them.</summary>
    public static void AddTelemetry(this IServiceCollection services, WorkerSettings settings)
    {
        services.AddHostedService<QueueGauges>();
        OpenTelemetryBuilder telemetry = services.AddOpenTelemetry()
            .ConfigureResource(resource => resource.AddService("xoveropt", serviceVersion: BuildFile.ProgramVersion))
            .WithMetrics(metrics =>
            {
                metrics.AddMeter(Name).AddAspNetCoreInstrumentation().AddRuntimeInstrumentation().AddPrometheusExporter();
                if (settings.OtlpUrl is { } url)
                {
                    metrics.AddOtlpExporter(exporter => exporter.Endpoint = new Uri(url));
                }
            });

        // Without an address nobody would see the traces.
        if (settings.OtlpUrl is { } address)
        {
            telemetry.WithTracing(traces => traces
                .AddSource(Name)
                .AddAspNetCoreInstrumentation(requests => requests.Filter = context => !Everyday.Any(path => context.Request.Path.StartsWithSegments(path)))
                .AddOtlpExporter(exporter => exporter.Endpoint = new Uri(address)));
        }
    }
}
