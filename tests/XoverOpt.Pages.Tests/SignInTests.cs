using Microsoft.Extensions.DependencyInjection;
using Microsoft.Playwright;
using XoverOpt.Pages.Tests.Support;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop.Store;
using static Microsoft.Playwright.Assertions;

namespace XoverOpt.Pages.Tests;

/// <summary>Pages of a worker that asks for keys.</summary>
public sealed class SignInTests(Bench bench)
{
    [Fact]
    public async Task Reader_SignsIn_SeesRunsAndMayHandInNothing()
    {
        using Desk desk = new();
        await using WorkerHere worker = await WorkerHere.Start(desk, change: settings => settings with { RequestsPerSecond = 0 });
        string secret = Keys.Make(worker.Services.GetRequiredService<IKeyStore>(), "reader", Scope.Read);
        await Until.Some(async () => (await worker.Client.Http.GetAsync("/api/jobs", TestContext.Current.CancellationToken)).IsSuccessStatusCode ? null : "closed", () => "the worker stays open");
        await using Window window = await bench.Open(address: worker.Client.Http.BaseAddress!.ToString());

        await window.Page.GotoAsync("/?state=done");
        await Expect(window.Page.Locator("h1")).ToHaveTextAsync("Sign in");
        await window.Page.Locator("#key").FillAsync("xok_wrong");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Sign in" }).ClickAsync();
        await Expect(window.Page.Locator("#key-fault")).ToContainTextAsync("not known");
        await window.Page.Locator("#key").FillAsync(secret);
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Sign in" }).ClickAsync();

        await Expect(window.Page.Locator("h1")).ToHaveTextAsync("Runs");
        Assert.EndsWith("/?state=done", window.Page.Url, StringComparison.Ordinal);
        Assert.Equal(0, await window.Page.GetByRole(AriaRole.Link, new() { Name = "New job", Exact = true }).And(window.Page.Locator(".button")).CountAsync());
        BrowserContextCookiesResult cookie = (await window.Page.Context.CookiesAsync()).Single(one => one.Name == KeyCheck.Cookie);
        Assert.True(cookie is { HttpOnly: true, SameSite: SameSiteAttribute.Strict }, "a script or another site could get at the key");
        Assert.DoesNotContain(secret, await window.Page.EvaluateAsync<string>("() => document.cookie"), StringComparison.Ordinal);

        await window.Page.GotoAsync("/new");
        await Expect(window.Page.Locator("main")).ToContainTextAsync("scope read");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).ClickAsync();
        await window.Page.GotoAsync("/");
        await Expect(window.Page.Locator("h1")).ToHaveTextAsync("Sign in");
    }

    [Theory]
    [InlineData("https://evil.example/")]
    [InlineData("//evil.example/")]
    [InlineData("/\\evil.example/")]
    public async Task SignIn_ToAnotherSite_StaysHere(string to)
    {
        await using Window window = await bench.Open();
        await window.Page.GotoAsync("/sign-in?to=" + Uri.EscapeDataString(to));

        Assert.DoesNotContain("evil", await window.Page.ContentAsync(), StringComparison.Ordinal);
    }
}
