using System.Net;
using System.Net.Http.Headers;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Tests.Access;

/// <summary>Every route against every kind of caller.</summary>
public sealed class AccessTableTests : IAsyncLifetime
{
    private static readonly string[] Open = ["GET /health/live", "GET /openapi/{documentName}.json", "GET /sign-in"];
    private readonly Desk _desk = new();
    private WorkerHere _worker = null!;

    private static CancellationToken Test => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => _worker = await WorkerHere.Start(_desk, change: settings => settings with { Dashboard = true, RequestsPerSecond = 0 });

    public async ValueTask DisposeAsync()
    {
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    [Fact]
    public void Route_Any_SaysWhatItAsksOrThatItIsOpen()
    {
        string[] silent = [.. Routes().Where(route => route.Rule is null).Select(route => route.Name)];
        string[] open = [.. Routes().Where(route => route.Rule is { Scope: null }).Select(route => route.Name).Order(StringComparer.Ordinal)];

        Assert.Empty(silent);
        Assert.Equal(Open, open);
    }

    [Fact]
    public async Task Route_CalledWithEachKey_AnswersByItsScope()
    {
        IKeyStore store = _worker.Services.GetRequiredService<IKeyStore>();
        (string Name, string? Secret, Scope? Granted)[] callers =
        [
            ("no key", null, null),
            ("wrong key", SecretText.New(), null),
            ("read key", Keys.Make(store, "reader", Scope.Read), Scope.Read),
            ("submit key", Keys.Make(store, "submitter", Scope.Submit), Scope.Submit),
            ("admin key", Keys.Make(store, "admin", Scope.Admin), Scope.Admin),
        ];
        TestContext.Current.TestOutputHelper!.WriteLine($"{"route",-46}{"asks",-8}" + string.Concat(callers.Select(caller => $"{caller.Name,-12}")));

        // The worker knows of the keys within a second; none of what follows is asked before.
        await Until.Some(async () => await Status("GET /api/jobs", null) == HttpStatusCode.Unauthorized ? "closed" : null, () => "the worker stays open");
        foreach ((string route, ScopeRule? rule) in Routes())
        {
            List<string> row = [];
            foreach ((string name, string? secret, Scope? granted) in callers)
            {
                HttpStatusCode status = await Status(route, secret);
                row.Add($"{(int)status,-12}");
                string at = $"{route} with {name}: {status}";
                if (rule!.Scope is not { } needed || granted >= needed)
                {
                    Assert.False(status is HttpStatusCode.Unauthorized or HttpStatusCode.Forbidden or >= HttpStatusCode.InternalServerError, at);
                }
                else
                {
                    Assert.True(status == (granted is null ? HttpStatusCode.Unauthorized : HttpStatusCode.Forbidden), at);
                }
            }

            TestContext.Current.TestOutputHelper!.WriteLine($"{route,-46}{(rule!.Scope is { } asks ? ScopeRules.Name(asks) : "open"),-8}{string.Concat(row)}");
        }
    }

    private IEnumerable<(string Name, ScopeRule? Rule)> Routes() => _worker.Routes
        .SelectMany(route => (route.Metadata.GetMetadata<HttpMethodMetadata>()?.HttpMethods ?? ["GET"])
            .Select(method => ($"{method} /{route.RoutePattern.RawText?.TrimStart('/')}", route.Metadata.GetMetadata<ScopeRule>())))
        .OrderBy(route => route.Item1, StringComparer.Ordinal);

    // Ids of nothing: what may be called answers that it is not there. An event stream is left once its head has come.
    private async Task<HttpStatusCode> Status(string route, string? secret)
    {
        string[] parts = route.Split(' ');
        string path = System.Text.RegularExpressions.Regex.Replace(parts[1].Replace("{documentName}", "v1", StringComparison.Ordinal), "\\{\\*[^}]*\\}|\\{[^}]*:int\\}|\\{[^}]*\\}", "1");
        using HttpRequestMessage request = new(new HttpMethod(parts[0]), path);
        request.Headers.Authorization = secret is null ? null : new AuthenticationHeaderValue("Bearer", secret);
        using HttpResponseMessage response = await _worker.Client.Http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, Test);
        return response.StatusCode;
    }
}
