using System.Net;
using System.Net.Http.Headers;
using System.Text;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Tests.Access;

public sealed class KeyTests
{
    private static CancellationToken Test => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Keys_MadeListedAndRevoked_WhileTheWorkerRuns()
    {
        using Desk desk = new();
        await using WorkerHere worker = await WorkerHere.Start(desk);
        Assert.Equal(HttpStatusCode.OK, await Ask(worker, null));

        (int made, string secret, string told) = await Cli.Run(desk.Root, "keys", "add", "anna", "--scope", "read", "--store", "store");
        (int twice, _, string taken) = await Cli.Run(desk.Root, "keys", "add", "anna", "--scope", "admin", "--store", "store");
        (_, string list, _) = await Cli.Run(desk.Root, "keys", "list", "--store", "store");

        Assert.Equal((0, 1), (made, twice));
        Assert.StartsWith("xok_", secret, StringComparison.Ordinal);
        Assert.Contains("not shown again", told, StringComparison.Ordinal);
        Assert.Contains("is taken", taken, StringComparison.Ordinal);
        Assert.Matches("^anna +read +made .* never used +holds\n$", list);
        await Until.Some(async () => await Ask(worker, null) == HttpStatusCode.Unauthorized ? "closed" : null, () => "the worker stays open");
        Assert.Equal(HttpStatusCode.OK, await Ask(worker, secret.Trim()));

        // What is kept is of no use to whoever reads it.
        foreach (string file in Directory.EnumerateFiles(Path.Combine(desk.Root, "store"), "*", SearchOption.AllDirectories).Where(file => !file.EndsWith("lock", StringComparison.Ordinal)))
        {
            using FileStream stream = new(file, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            using StreamReader reader = new(stream, Encoding.Latin1);
            Assert.DoesNotContain(secret.Trim()[4..], await reader.ReadToEndAsync(Test), StringComparison.Ordinal);
        }

        (int misspelt, _, string near) = await Cli.Run(desk.Root, "keys", "revoke", "ana", "--store", "store");
        (int revoked, _, _) = await Cli.Run(desk.Root, "keys", "revoke", "anna", "--store", "store");

        Assert.Equal((1, 0), (misspelt, revoked));
        Assert.Contains("Did you mean \"anna\"?", near, StringComparison.Ordinal);
        await Until.Some(async () => await Ask(worker, secret.Trim()) == HttpStatusCode.Unauthorized ? "closed" : null, () => "the key still holds");

        // The last key is gone: closed, not open again.
        Assert.Equal(HttpStatusCode.Unauthorized, await Ask(worker, null));
    }

    [Fact]
    public async Task Key_AsTheBasicPassword_IsTakenAndABrowserIsAskedForIt()
    {
        using Desk desk = new();
        await using WorkerHere worker = await WorkerHere.Start(desk);
        string secret = Keys.Make(worker.Services.GetRequiredService<IKeyStore>(), "anna", Scope.Read);
        await Until.Some(async () => await Ask(worker, null) == HttpStatusCode.Unauthorized ? "closed" : null, () => "the worker stays open");

        Assert.Equal(HttpStatusCode.OK, await Ask(worker, null, new AuthenticationHeaderValue("Basic", Convert.ToBase64String(Encoding.UTF8.GetBytes("x:" + secret)))));
        Assert.Equal(HttpStatusCode.Unauthorized, await Ask(worker, null, new AuthenticationHeaderValue("Basic", Convert.ToBase64String(Encoding.UTF8.GetBytes(secret)))));
        Assert.Equal(HttpStatusCode.Unauthorized, await Ask(worker, null, new AuthenticationHeaderValue("Basic", "%%%")));
        Assert.Equal(HttpStatusCode.Unauthorized, await Ask(worker, "", null));
        using HttpRequestMessage page = new(HttpMethod.Get, "/api/jobs");
        page.Headers.Accept.ParseAdd("text/html");
        using HttpResponseMessage asked = await worker.Client.Http.SendAsync(page, Test);
        Assert.Equal("Basic", Assert.Single(asked.Headers.WwwAuthenticate).Scheme);
        using HttpResponseMessage plain = await worker.Client.Http.GetAsync("/api/jobs", Test);
        Assert.Equal("Bearer", Assert.Single(plain.Headers.WwwAuthenticate).Scheme);
        JsonNode problem = JsonNode.Parse(await plain.Content.ReadAsStringAsync(Test))!;
        Assert.Equal("Authorization", (string?)problem["faults"]![0]!["pointer"]);
    }

    [Fact]
    public async Task Stream_WhoseKeyIsRevoked_EndsAndOneClientGetsSoMany()
    {
        using Desk desk = new();
        await using WorkerHere worker = await WorkerHere.Start(desk);
        IKeyStore store = worker.Services.GetRequiredService<IKeyStore>();
        string secret = Keys.Make(store, "anna", Scope.Read), admin = Keys.Make(store, "admin", Scope.Admin);
        await Until.Some(async () => await Ask(worker, secret) == HttpStatusCode.OK ? "known" : null, () => "the key is not known");
        Task<HttpResponseMessage> Listen()
        {
            HttpRequestMessage request = new(HttpMethod.Get, "/api/events");
            request.Headers.Authorization = new AuthenticationHeaderValue("Bearer", secret);
            return worker.Client.Http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, Test);
        }

        HttpResponseMessage[] streams = await Task.WhenAll(Enumerable.Range(0, RequestLimits.MostStreams).Select(_ => Listen()));
        Assert.All(streams, stream => Assert.Equal(HttpStatusCode.OK, stream.StatusCode));
        using HttpResponseMessage oneMore = await Listen();
        Assert.Equal(HttpStatusCode.TooManyRequests, oneMore.StatusCode);
        foreach (HttpResponseMessage stream in streams.Skip(1))
        {
            stream.Dispose();
        }

        Task<string> whole = streams[0].Content.ReadAsStringAsync(Test);
        Assert.True(store.RevokeKey("anna", DateTimeOffset.UnixEpoch));
        worker.Client.Http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", admin);

        // What happens wakes the stream; else its next sign of life would.
        await Until.Some(
            async () =>
            {
                await worker.Client.Submit(Desk.Job(more: "\"schedule\": { \"notBefore\": \"2999-01-01T00:00:00Z\" },"));
                return whole.IsCompleted ? "ended" : null;
            },
            () => "the stream goes on");
        Assert.StartsWith("retry: 2000\n\nevent: worker\ndata: {", await whole, StringComparison.Ordinal);
        streams[0].Dispose();
    }

    [Theory]
    [InlineData("--urls", "http://0.0.0.0:0")]
    [InlineData("--urls", "http://*:0")]
    [InlineData("--urls", "http://[::]:0")]
    [InlineData("--urls", "http://workbench:0")]
    [InlineData("--hosts", "bench.example")]
    public async Task Serve_BeyondThisMachineWithoutAKey_IsRefusedInOneLine(string flag, string value)
    {
        using Desk desk = new();

        (int exit, string output, string error) = await Cli.Run(desk.Root, "serve", flag, value, "--store", "store");

        Assert.Equal((1, ""), (exit, output));
        Assert.Contains("no API key", error, StringComparison.Ordinal);
        Assert.Contains("keys add NAME --scope admin --store store", error, StringComparison.Ordinal);
        Assert.Single(error.TrimEnd('\n').Split('\n'));
    }

    private static async Task<HttpStatusCode> Ask(WorkerHere worker, string? secret, AuthenticationHeaderValue? other = null)
    {
        using HttpRequestMessage request = new(HttpMethod.Get, "/api/jobs");
        request.Headers.Authorization = secret is null ? other : new AuthenticationHeaderValue("Bearer", secret);
        using HttpResponseMessage response = await worker.Client.Http.SendAsync(request, Test);
        return response.StatusCode;
    }
}
