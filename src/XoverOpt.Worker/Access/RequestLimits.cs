using System.Globalization;
using System.Threading.RateLimiting;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Host;

namespace XoverOpt.Worker.Access;

/// <summary>
/// How much one client may take: requests over time, requests that make the worker work at once, sizes, and the time it may take over
/// sending and receiving, so that neither a flood nor a trickle keeps others out.
/// </summary>
internal static class RequestLimits
{
    /// <summary>Largest body, bytes; as large as a file may be.</summary>
    public const long MostBody = Workshop.JsonSource.MostBytes;

    /// <summary>Time for the head of a request to arrive.</summary>
    public static readonly TimeSpan HeadWithin = TimeSpan.FromSeconds(10);

    /// <summary>Streams of events that one client may listen to at once.</summary>
    public const int MostStreams = 100;

    private const int MostWaiting = 1000;

    // Bodies and answers slower than this, after the grace, end the connection. The largest body may so take a quarter of an hour.
    private static readonly MinDataRate Slowest = new(8 * 1024, TimeSpan.FromSeconds(5));

    // Reading a job takes a core and up to some ten times its size in memory; so many of one client are read at once, the rest wait.
    private static readonly int WorkingAtOnce = (2 * Environment.ProcessorCount) + 2;

    /// <summary>Sets what the server itself looks after.</summary>
    public static void Set(KestrelServerOptions server, WorkerSettings settings)
    {
        server.AddServerHeader = false;
        server.Limits.MaxRequestBodySize = MostBody;
        server.Limits.MaxRequestHeadersTotalSize = 16 * 1024;
        server.Limits.MaxRequestHeaderCount = 60;
        server.Limits.MaxRequestLineSize = 4 * 1024;
        server.Limits.RequestHeadersTimeout = HeadWithin;
        server.Limits.KeepAliveTimeout = TimeSpan.FromSeconds(75);
        server.Limits.MinRequestBodyDataRate = Slowest;
        server.Limits.MinResponseDataRate = Slowest;
        server.Limits.MaxConcurrentConnections = settings.Connections;
        server.Limits.MaxConcurrentUpgradedConnections = 0;
    }

    /// <summary>Adds the limits by client.</summary>
    public static void AddRequestLimits(this IServiceCollection services, WorkerSettings settings) => services.AddRateLimiter(limiter =>
    {
        limiter.RejectionStatusCode = StatusCodes.Status429TooManyRequests;
        limiter.GlobalLimiter = PartitionedRateLimiter.CreateChained(
            PartitionedRateLimiter.Create<HttpContext, string>(context => PerClient(context, settings)),
            PartitionedRateLimiter.Create<HttpContext, string>(AtOnce),
            PartitionedRateLimiter.Create<HttpContext, string>(Listening));
        limiter.OnRejected = async (rejected, _) =>
        {
            double wait = rejected.Lease.TryGetMetadata(MetadataName.RetryAfter, out TimeSpan after) ? Math.Max(1, Math.Ceiling(after.TotalSeconds)) : 1;
            rejected.HttpContext.Response.Headers.RetryAfter = wait.ToString(CultureInfo.InvariantCulture);
            await ApiProblems.Refuse(
                "Too many requests; try again later.",
                [new FaultView(
                    "",
                    $"too many requests of {Asker.Of(rejected.HttpContext).Client}",
                    $"{settings.RequestsPerSecond} a second over time, {settings.RequestBurst} at once after a rest, {MostStreams} streams of events",
                    "Wait as Retry-After says; the worker's requestsPerSecond sets the limit.")],
                StatusCodes.Status429TooManyRequests)
                .ExecuteAsync(rejected.HttpContext).ConfigureAwait(false);
        };
    });

    private static RateLimitPartition<string> PerClient(HttpContext context, WorkerSettings settings) => settings.RequestsPerSecond == 0
        ? RateLimitPartition.GetNoLimiter("all")
        : RateLimitPartition.GetTokenBucketLimiter(Asker.Of(context).Client, _ => new TokenBucketRateLimiterOptions
        {
            TokenLimit = settings.RequestBurst,
            TokensPerPeriod = settings.RequestsPerSecond,
            ReplenishmentPeriod = TimeSpan.FromSeconds(1),
        });

    private static RateLimitPartition<string> Listening(HttpContext context) => context.GetEndpoint()?.Metadata.GetMetadata<StreamRule>() is not null
        ? RateLimitPartition.GetConcurrencyLimiter(Asker.Of(context).Client, _ => new ConcurrencyLimiterOptions { PermitLimit = MostStreams, QueueLimit = 0 })
        : RateLimitPartition.GetNoLimiter("answers");

    private static RateLimitPartition<string> AtOnce(HttpContext context) => HttpMethods.IsPost(context.Request.Method)
        ? RateLimitPartition.GetConcurrencyLimiter(Asker.Of(context).Client, _ => new ConcurrencyLimiterOptions
        {
            PermitLimit = WorkingAtOnce,
            QueueLimit = MostWaiting,
            QueueProcessingOrder = QueueProcessingOrder.OldestFirst,
        })
        : RateLimitPartition.GetNoLimiter("reading");
}
