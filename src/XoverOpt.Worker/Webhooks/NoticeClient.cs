using System.Net;
using System.Net.Sockets;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Webhooks;

/// <summary>Sends one notice, once. Follows no redirect, uses no proxy, and connects only where the rule lets it.</summary>
public sealed class NoticeClient : IDisposable
{
    private static readonly HttpRequestOptionsKey<Uri> Told = new("told");
    private readonly NoticeRule _rule;
    private readonly string? _secret;
    private readonly TimeProvider _clock;
    private readonly HttpClient _http;

    /// <summary>A client for a worker's settings.</summary>
    public NoticeClient(NoticeRule rule, WorkerSettings settings, TimeProvider clock)
    {
        _rule = rule;
        _secret = settings.NotifySecret;
        _clock = clock;
        _http = new HttpClient(
            new SocketsHttpHandler
            {
                AllowAutoRedirect = false,
                UseProxy = false,
                UseCookies = false,
                MaxResponseHeadersLength = 16,

                // Never kept, so that each notice is sent to an address that was looked up and checked for it.
                PooledConnectionLifetime = TimeSpan.Zero,
                ConnectCallback = Connect,
            })
        { Timeout = TimeSpan.FromSeconds(15) };
    }

    /// <summary>Tells an address that a run has ended.</summary>
    /// <returns>What went wrong, in words; null if it was taken (any status from 200 to 299).</returns>
    public async Task<string?> Send(Uri address, RunRecord run, CancellationToken end)
    {
        // The settings may have changed since the job was taken.
        if (_rule.Complaint(address) is { } complaint)
        {
            return $"{complaint.Found} is not allowed";
        }

        byte[] body = NoticeText.Of(run);
        DateTimeOffset now = _clock.GetUtcNow();
        using HttpRequestMessage request = new(HttpMethod.Post, address) { Content = new ByteArrayContent(body) };
        request.Content.Headers.ContentType = new("application/json");
        request.Headers.Add(NoticeSeal.RunHeader, run.Id);
        request.Headers.Add(NoticeSeal.TimeHeader, NoticeSeal.Time(now));
        request.Headers.Add(NoticeSeal.SealHeader, NoticeSeal.Of(_secret!, now, body));
        request.Options.Set(Told, address);
        try
        {
            using HttpResponseMessage response = await _http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, end).ConfigureAwait(false);
            return response.IsSuccessStatusCode ? null : $"it answered {(int)response.StatusCode}";
        }
        catch (HttpRequestException failure)
        {
            return (failure.InnerException ?? failure).Message;
        }
        catch (OperationCanceledException) when (!end.IsCancellationRequested)
        {
            return $"no answer within {_http.Timeout.TotalSeconds:0} s";
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _http.Dispose();

    // The address that was checked is the one connected to: asking for the name twice could get two answers.
    private async ValueTask<Stream> Connect(SocketsHttpConnectionContext context, CancellationToken end)
    {
        context.InitialRequestMessage.Options.TryGetValue(Told, out Uri? url);
        IPAddress[] found = await Dns.GetHostAddressesAsync(context.DnsEndPoint.Host, end).ConfigureAwait(false);
        if (found.Where(address => _rule.MayConnect(address, url!)).ToArray() is not { Length: > 0 } allowed)
        {
            throw new IOException($"{context.DnsEndPoint.Host} stands for a private or local address, and no such address is listed");
        }

        Socket socket = new(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        try
        {
            await socket.ConnectAsync(allowed, context.DnsEndPoint.Port, end).ConfigureAwait(false);
            return new NetworkStream(socket, ownsSocket: true);
        }
        catch
        {
            socket.Dispose();
            throw;
        }
    }
}
