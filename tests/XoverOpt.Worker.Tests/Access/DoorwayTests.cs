using System.Net;
using System.Net.Sockets;
using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Access;

public sealed class DoorwayTests : IAsyncLifetime
{
    private readonly Desk _desk = new();
    private WorkerHere _worker = null!;

    private static CancellationToken Test => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() =>
        _worker = await WorkerHere.Start(_desk, change: settings => settings with { RequestsPerSecond = 1, RequestBurst = 30 });

    public async ValueTask DisposeAsync()
    {
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    [Theory]
    [InlineData("localhost", HttpStatusCode.OK)]
    [InlineData("127.0.0.1:5080", HttpStatusCode.OK)]
    [InlineData("[::1]:80", HttpStatusCode.OK)]
    [InlineData("evil.example", HttpStatusCode.MisdirectedRequest)]
    [InlineData("localhost.evil.example", HttpStatusCode.MisdirectedRequest)]
    [InlineData("10.0.0.7", HttpStatusCode.MisdirectedRequest)]
    public async Task Request_UnderAName_IsTakenOnlyIfItIsOurs(string host, HttpStatusCode expected)
    {
        using HttpRequestMessage request = new(HttpMethod.Get, "/api/jobs");
        request.Headers.Host = host;

        using HttpResponseMessage response = await _worker.Client.Http.SendAsync(request, Test);

        Assert.Equal(expected, response.StatusCode);
    }

    // Without keys all of this machine is let in; what a proxy on it passes on is not of this machine.
    [Theory]
    [InlineData("X-Forwarded-For", "203.0.113.7")]
    [InlineData("Forwarded", "for=203.0.113.7")]
    [InlineData("Via", "1.1 door")]
    public async Task Request_PassedOnByAProxyWhereThereIsNoKey_IsRefused(string header, string value)
    {
        using HttpRequestMessage request = new(HttpMethod.Get, "/api/jobs");
        request.Headers.Add(header, value);

        using HttpResponseMessage response = await _worker.Client.Http.SendAsync(request, Test);

        Assert.Equal(HttpStatusCode.Unauthorized, response.StatusCode);
    }

    // RFC 4291, section 2.5.4: the lower 64 bits are the interface's own, so one host has as many addresses as it likes.
    [Theory]
    [InlineData("2001:db8:1:2:aaaa::1", "2001:db8:1:2::/64")]
    [InlineData("2001:db8:1:2:bbbb:cccc:dddd:eeee", "2001:db8:1:2::/64")]
    [InlineData("2001:db8:1:3::1", "2001:db8:1:3::/64")]
    [InlineData("::ffff:192.0.2.7", "192.0.2.7")]
    [InlineData("192.0.2.7", "192.0.2.7")]
    [InlineData("::1", "::1")]
    public void Client_ByAddress_IsANetworkOfIPv6(string address, string client) => Assert.Equal(client, KeyCheck.Client(IPAddress.Parse(address)));

    [Theory]
    [InlineData("http://evil.example", HttpStatusCode.Forbidden)]
    [InlineData("null", HttpStatusCode.Forbidden)]
    [InlineData("own", HttpStatusCode.NotFound)]
    [InlineData(null, HttpStatusCode.NotFound)]
    public async Task Change_FromAnotherOrigin_IsRefused(string? origin, HttpStatusCode expected)
    {
        using HttpRequestMessage request = new(HttpMethod.Post, "/api/jobs/none/stop");
        if (origin is not null)
        {
            request.Headers.Add("Origin", origin == "own" ? _worker.Client.Http.BaseAddress!.GetLeftPart(UriPartial.Authority) : origin);
        }

        using HttpResponseMessage response = await _worker.Client.Http.SendAsync(request, Test);

        Assert.Equal(expected, response.StatusCode);
    }

    [Theory]
    [InlineData("/api/jobs")]
    [InlineData("/api/jobs/none")]
    [InlineData("/nowhere")]
    [InlineData("/health/live")]
    [InlineData("/api/jobs?limit=0")]
    public async Task Answer_Any_BearsTheSafeHeaders(string path)
    {
        using HttpResponseMessage response = await _worker.Client.Http.GetAsync(path, Test);

        Assert.Contains("default-src 'self'", Assert.Single(response.Headers.GetValues("Content-Security-Policy")), StringComparison.Ordinal);
        Assert.Contains("frame-ancestors 'none'", Assert.Single(response.Headers.GetValues("Content-Security-Policy")), StringComparison.Ordinal);
        Assert.Equal("nosniff", Assert.Single(response.Headers.GetValues("X-Content-Type-Options")));
        Assert.Equal("same-origin", Assert.Single(response.Headers.GetValues("Referrer-Policy")));
        Assert.Equal(path != "/nowhere", response.Headers.CacheControl?.NoStore == true);
        Assert.False(response.Headers.Contains("Server"));
    }

    [Fact]
    public async Task Client_AskingTooOften_IsToldWhenToComeBack()
    {
        HttpResponseMessage[] answers = await Task.WhenAll(Enumerable.Range(0, 80).Select(_ => _worker.Client.Http.GetAsync("/api/jobs", Test)));

        HttpResponseMessage[] refused = [.. answers.Where(answer => answer.StatusCode == HttpStatusCode.TooManyRequests)];
        Assert.Contains(answers, answer => answer.IsSuccessStatusCode);
        Assert.NotEmpty(refused);
        Assert.All(refused, answer => Assert.True(answer.Headers.RetryAfter!.Delta >= TimeSpan.FromSeconds(1)));
        JsonNode problem = JsonNode.Parse(await refused[0].Content.ReadAsStringAsync(Test))!;
        Assert.Equal("1 a second over time, 30 at once after a rest, 100 streams of events", (string?)problem["faults"]![0]!["allowed"]);

        // Whoever watches over the process must not be kept out by it.
        Assert.Equal("live", (string?)(await _worker.Client.Get("/health/live"))["status"]);
    }

    [Fact]
    public async Task Connection_ThatTricklesOrFallsSilent_IsEnded()
    {
        string head = await Ending("GET /api/jobs HTTP/1.1\r\nHost: localhost\r\nX-Slow: ");
        string body = await Ending("POST /api/jobs HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 100000\r\n\r\n{");

        Assert.StartsWith("HTTP/1.1 408", head, StringComparison.Ordinal);
        Assert.StartsWith("HTTP/1.1 408", body, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("GET /api/jobs HTTP/1.1\r\nHost: localhost\r\nX-Long: {20000}\r\n\r\n", "431")]
    [InlineData("GET /{5000} HTTP/1.1\r\nHost: localhost\r\n\r\n", "414")]
    [InlineData("GET /api/jobs HTTP/1.1\r\n\r\n", "400")]
    [InlineData("GET /api/jobs HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n", "400")]
    [InlineData("POST /api/jobs HTTP/1.1\r\nHost: localhost\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n0\r\n\r\n", "4")]
    public async Task Request_OddOrTooLong_IsRefused(string request, string status)
    {
        string whole = request.Replace("{20000}", new string('x', 20_000), StringComparison.Ordinal).Replace("{5000}", new string('x', 5_000), StringComparison.Ordinal);

        Assert.StartsWith("HTTP/1.1 " + status, await Ending(whole), StringComparison.Ordinal);
    }

    // Sends what there is, then waits until the other side ends the connection.
    private async Task<string> Ending(string request)
    {
        using TcpClient line = new();
        await line.ConnectAsync(IPAddress.Loopback, _worker.Client.Http.BaseAddress!.Port, Test);
        await line.GetStream().WriteAsync(Encoding.ASCII.GetBytes(request), Test);
        using StreamReader reader = new(line.GetStream());
        return await reader.ReadToEndAsync(Test);
    }
}
