using System.Net;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Access;

/// <summary>What is looked at before anything else: whether the worker may stand open like this, and whether a request was meant for it.</summary>
internal static class Doorway
{
    /// <summary>Why the worker must not start with these addresses; null if it may.</summary>
    public static Fault? Refusal(IServiceProvider services, WorkerSettings settings)
    {
        // Read whatever the address, so that keys that cannot be read are told at the start.
        bool keyed = services.GetRequiredService<KeyRing>().KeysNeeded;
        string[] beyond = [.. settings.Urls.Where(url => ListenAddress.Parse(url) is { IsLoopback: false }), .. settings.Hosts.Where(host => !IsLoopbackName(host))];
        return beyond.Length == 0 || keyed
            ? null
            : new Fault(
                "serve",
                "",
                $"{string.Join(" and ", beyond)} to be reached from other machines, and no API key",
                "addresses of this machine only, or a store with at least one key",
                $"Make one with: keys add NAME --scope admin --store {StoreAddress.Parse(settings.StorePath).Shown}");
    }

    /// <summary>
    /// Turns away requests that a page of another site makes a browser send: those under a name that is not ours (DNS rebinding), and
    /// those that would change something and come from another origin.
    /// </summary>
    public static Task Check(HttpContext context, RequestDelegate next)
    {
        WorkerSettings settings = context.RequestServices.GetRequiredService<WorkerSettings>();
        HostString host = context.Request.Host;
        bool anyName = settings.Hosts.Count == 0 && context.RequestServices.GetRequiredService<KeyRing>().KeysNeeded;
        if (!anyName && !IsLoopbackName(host.Host) && !IsNamed(host.Host, settings))
        {
            return ApiProblems.Refuse(
                "The request names a host that this worker is not.",
                [new FaultView("Host", host.HasValue ? host.Value : "nothing", string.Join(", ", ["localhost", "127.0.0.1", "[::1]", .. settings.Hosts]), "Further names are told with --hosts.")],
                StatusCodes.Status421MisdirectedRequest)
                .ExecuteAsync(context);
        }

        string? origin = context.Request.Headers.Origin;
        bool changes = !(HttpMethods.IsGet(context.Request.Method) || HttpMethods.IsHead(context.Request.Method) || HttpMethods.IsOptions(context.Request.Method));
        if (changes && origin is not null && !IsOwn(origin, host, settings))
        {
            return ApiProblems.Refuse(
                "A page of another site asked for this.", [new FaultView("Origin", origin, "pages of this worker, or programs that send no Origin")], StatusCodes.Status403Forbidden)
                .ExecuteAsync(context);
        }

        return next(context);
    }

    private static bool IsOwn(string origin, HostString host, WorkerSettings settings) =>
        Uri.TryCreate(origin, UriKind.Absolute, out Uri? from)
        && (string.Equals(from.Authority, host.Value, StringComparison.OrdinalIgnoreCase) || IsNamed(from.Host, settings));

    private static bool IsNamed(string host, WorkerSettings settings) => settings.Hosts.Contains(host, StringComparer.OrdinalIgnoreCase);

    private static bool IsLoopbackName(string host) =>
        string.Equals(host, "localhost", StringComparison.OrdinalIgnoreCase)
        || (IPAddress.TryParse(host.Trim('[', ']'), out IPAddress? address) && IPAddress.IsLoopback(address));
}
