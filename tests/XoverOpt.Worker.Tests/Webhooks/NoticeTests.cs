using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using XoverOpt.Worker.Host;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Worker.Webhooks;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Tests.Webhooks;

/// <summary>A run that ends, and a listener on this machine that is told.</summary>
public sealed class NoticeTests : IAsyncLifetime
{
    private const string Secret = "a secret of the workshop";

    private readonly Desk _desk = new();
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private WorkerHere _worker = null!;

    private static CancellationToken Test => TestContext.Current.CancellationToken;

    private int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    public async ValueTask InitializeAsync()
    {
        _listener.Start();
        _worker = await WorkerHere.Start(_desk, change: settings => settings with
        {
            NotifyHosts = [$"127.0.0.1:{Port}", $"localhost:{Port}", "localhost:9"],
            NotifySecret = Secret,
        });
    }

    public async ValueTask DisposeAsync()
    {
        _listener.Dispose();
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    [Fact]
    public async Task Notice_OfADoneRun_IsSealedAndHasTheBestFigures()
    {
        string id = await _worker.Client.Submit(Job($"http://127.0.0.1:{Port}/hook?token=t"));

        (string head, string body) = await Answer("204 No Content");

        Dictionary<string, string> headers = head.Split("\r\n").Skip(1).Select(line => line.Split(": ", 2)).ToDictionary(pair => pair[0], pair => pair[1], StringComparer.OrdinalIgnoreCase);
        Assert.StartsWith("POST /hook?token=t HTTP/1.1", head, StringComparison.Ordinal);
        byte[] seal = HMACSHA256.HashData(Encoding.UTF8.GetBytes(Secret), Encoding.UTF8.GetBytes(headers["XoverOpt-Sent"] + "\n" + body));
        Assert.Equal("hmac-sha256=" + Convert.ToHexStringLower(seal), headers["XoverOpt-Seal"]);
        Assert.Equal(id, headers["XoverOpt-Run"]);
        JsonNode notice = JsonNode.Parse(body)!;
        JsonObject run = await _worker.Client.JobWhen(id, job => job["notice"]!["delivered"] is not null);
        Assert.Equal((id, "done", (string?)run["reason"]), ((string?)notice["id"], (string?)notice["state"], (string?)notice["reason"]));
        Assert.Equal((double)run["progress"]!["best"]!["cost"]!, (double)notice["best"]!["cost"]!, 1e-9);
        Assert.Contains("injures hearing", (string)notice["caution"]!, StringComparison.Ordinal);
        Assert.Equal($"127.0.0.1:{Port}", (string?)run["notice"]!["host"]);
        Assert.DoesNotContain("token", run.ToJsonString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Notice_ThatIsRefused_ComesAgainLater()
    {
        string id = await _worker.Client.Submit(Job($"http://127.0.0.1:{Port}/"));

        await Answer("503 Service Unavailable");

        JsonObject run = await _worker.Client.JobWhen(id, job => job["notice"]!["failure"] is not null);
        Assert.Equal("it answered 503", (string?)run["notice"]!["failure"]);
        Assert.True((DateTimeOffset)run["notice"]!["next"]! > (DateTimeOffset)run["ended"]!);
        (string head, _) = await Answer("200 OK");
        Assert.Contains(id, head, StringComparison.Ordinal);
        Assert.Equal(2, (int)(await _worker.Client.JobWhen(id, job => job["notice"]!["delivered"] is not null))["notice"]!["attempts"]!);
    }

    [Fact]
    public async Task Notice_Redirected_IsNotFollowed()
    {
        string id = await _worker.Client.Submit(Job($"http://127.0.0.1:{Port}/"));

        await Answer("302 Found\r\nLocation: http://169.254.169.254/latest");

        JsonObject run = await _worker.Client.JobWhen(id, job => job["notice"]!["failure"] is not null);
        Assert.Equal("it answered 302", (string?)run["notice"]!["failure"]);
    }

    [Fact]
    public async Task Notice_ListedNameOfAPrivateAddressNotListedItself_IsNotSent()
    {
        // Port 9 is listed for the name localhost, not for the number 127.0.0.1.
        string id = await _worker.Client.Submit(Job("http://localhost:9/"));

        JsonObject run = await _worker.Client.JobWhen(id, job => job["notice"]!["failure"] is not null);
        Assert.Contains("private or local address", (string)run["notice"]!["failure"]!, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Sender_NobodyThere_GivesUpAfterTheStatedAttempts()
    {
        WorkerSettings settings = new() { NotifyHosts = ["127.0.0.1:9"], NotifySecret = Secret };
        using NoticeClient client = new(new NoticeRule(settings), settings, TimeProvider.System);
        DueAtOnce outbox = new();
        NoticeSender sender = new(outbox, _worker.Services.GetRequiredService<IRunStore>(), _worker.Services.GetRequiredService<INews>(), client, TimeProvider.System, Microsoft.Extensions.Logging.Abstractions.NullLogger<NoticeSender>.Instance);
        outbox.RunId = await _worker.Client.Submit(Desk.Job(limits: "{ \"maxPartsCost\": 3 }"));
        await _worker.Client.JobEnded(outbox.RunId);

        await sender.SendDue(Test);

        Assert.Equal(NoticeSender.MostAttempts, outbox.Pauses.Count);
        Assert.Null(outbox.Pauses[^1]);
        Assert.All(outbox.Pauses.SkipLast(1).Zip(outbox.Pauses.Skip(1).SkipLast(1)), pair => Assert.True(pair.First < pair.Second));
    }

    private static string Job(string notify) => Desk.Job(2000, more: $"\"schedule\": {{ \"notify\": \"{notify}\" }},");

    /// <summary>Takes the next request and answers it.</summary>
    private async Task<(string Head, string Body)> Answer(string status)
    {
        using CancellationTokenSource patience = CancellationTokenSource.CreateLinkedTokenSource(Test);
        patience.CancelAfter(TimeSpan.FromMinutes(2));
        using TcpClient line = await _listener.AcceptTcpClientAsync(patience.Token);
        NetworkStream stream = line.GetStream();
        string text = "";
        byte[] part = new byte[4096];
        while (true)
        {
            text += Encoding.UTF8.GetString(part, 0, await stream.ReadAsync(part, patience.Token));
            int end = text.IndexOf("\r\n\r\n", StringComparison.Ordinal);
            if (end >= 0 && Encoding.UTF8.GetByteCount(text[(end + 4)..]) >= Length(text[..end]))
            {
                await stream.WriteAsync(Encoding.ASCII.GetBytes($"HTTP/1.1 {status}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"), patience.Token);
                return (text[..end], text[(end + 4)..]);
            }
        }
    }

    private static int Length(string head) => int.Parse(
        head.Split("\r\n").Single(line => line.StartsWith("Content-Length: ", StringComparison.OrdinalIgnoreCase))[16..], System.Globalization.CultureInfo.InvariantCulture);

    /// <summary>An outbox in small with one notice, due again at once however long it should wait.</summary>
    private sealed class DueAtOnce : IOutbox
    {
        public string RunId { get; set; } = "";

        public List<TimeSpan?> Pauses { get; } = [];

        public Notice? Take(TimeSpan lease) => Pauses is [.., null] ? null : new Notice { RunId = RunId, Url = "http://127.0.0.1:9/", Attempts = Pauses.Count + 1 };

        public void Delivered(Notice notice) => Assert.Fail("nobody was there to take it");

        public void Failed(Notice notice, string failure, TimeSpan? tryAgainAfter) => Pauses.Add(tryAgainAfter);

        public Notice? Find(string runId) => null;
    }
}
