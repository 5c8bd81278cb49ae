using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using XoverOpt.Pages.Tests.Support;

namespace XoverOpt.Pages.Tests;

/// <summary>What holds for every page.</summary>
public sealed class PageTests(Bench bench)
{
    public static TheoryData<string, bool> All => [.. Sights.Names.SelectMany(name => new (string, bool)[] { (name, false), (name, true) })];

    // WCAG 2.2 as axe-core tests it; other impacts than these are matters of taste in part.
    [Theory]
    [MemberData(nameof(All))]
    public async Task Page_InABrowser_ComplainsOfNothingAndIsAccessible(string name, bool dark)
    {
        await using Window window = await bench.Open(dark: dark);
        await window.Go(Sights.Path(name, bench));

        AxeResult seen = await window.Page.RunAxe();

        string[] faults = [.. seen.Violations.Where(fault => fault.Impact is "serious" or "critical")
            .Select(fault => $"{fault.Id}: {fault.Help}: {string.Join(" | ", fault.Nodes.Take(4).Select(node => node.Html))}")];
        Assert.Empty(faults);
        Assert.True(seen.Passes.Length > 5, "axe looked at hardly anything");

        // The browser itself says that a page with status 404 could not be loaded.
        Assert.DoesNotContain(window.Complaints, complaint => name != "missing" || !complaint.Contains("404", StringComparison.Ordinal));
    }

    [Theory]
    [MemberData(nameof(All))]
    public async Task Page_OnAPhone_ScrollsInOneDirectionOnly(string name, bool dark)
    {
        await using Window window = await bench.Open(390, 844, dark);
        await window.Go(Sights.Path(name, bench));

        int beyond = await window.Page.EvaluateAsync<int>("() => document.documentElement.scrollWidth - document.documentElement.clientWidth");

        Assert.Equal(0, beyond);
    }

    [Theory]
    [InlineData("runs", "table tbody tr")]
    [InlineData("run", "#build-table tbody tr")]
    [InlineData("build", "table.figures tr")]
    [InlineData("compare", "table.compare tbody tr")]
    [InlineData("new", "form textarea#points")]
    [InlineData("inspect", "form textarea")]
    [InlineData("pairs", "form textarea")]
    [InlineData("drawer", "table.stock tbody tr")]
    [InlineData("part", "table.grid tbody tr")]
    [InlineData("parts", "table.grid tbody tr")]
    [InlineData("changes", "table.grid tbody tr")]
    [InlineData("rerun", "form textarea")]
    public async Task Page_WithoutScript_HasItsContent(string name, string content)
    {
        await using Window window = await bench.Open(script: false);
        await window.Page.GotoAsync(Sights.Path(name, bench));

        Assert.True(await window.Page.Locator(content).CountAsync() > 0);
        Assert.NotEmpty(await window.Page.Locator("h1").InnerTextAsync());
    }

    [Fact]
    public async Task Build_WithoutScript_ShowsTheCurvesAsDrawings()
    {
        await using Window window = await bench.Open(script: false, height: 6000);
        await window.Page.GotoAsync(Sights.Path("build", bench), new() { WaitUntil = WaitUntilState.NetworkIdle });

        ILocator drawings = window.Page.Locator("img.drawing");
        Assert.Equal(9, await drawings.CountAsync());
        foreach (ILocator drawing in await drawings.AllAsync())
        {
            // Without script of its own the page can still be asked where it was laid out: a picture that did not load has no height.
            await drawing.ScrollIntoViewIfNeededAsync();
            Assert.True((await drawing.BoundingBoxAsync())!.Height > 100, await drawing.GetAttributeAsync("src"));
        }
    }

    [Theory]
    [MemberData(nameof(Named))]
    public async Task Page_Any_SetsAStrictPolicyAndIsNotKept(string name)
    {
        await using Window window = await bench.Open(script: false);
        IResponse response = (await window.Page.GotoAsync(Sights.Path(name, bench)))!;

        string policy = await response.HeaderValueAsync("Content-Security-Policy") ?? "";
        Assert.Contains("default-src 'self'", policy, StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);
        Assert.Contains("no-store", await response.HeaderValueAsync("Cache-Control") ?? "", StringComparison.Ordinal);
    }

    public static TheoryData<string> Named => [.. Sights.Names];

    [Theory]
    [InlineData("runs")]
    [InlineData("run")]
    [InlineData("build")]
    [InlineData("compare")]
    [InlineData("inspect")]
    [InlineData("part")]
    [InlineData("parts")]
    [InlineData("changes")]
    public async Task Name_WithHtmlInIt_ComesOutAsText(string name)
    {
        await using Window window = await bench.Open();
        await window.Go(Sights.Path(name, bench));

        Assert.Contains(Bench.HostileName, await window.Page.Locator("main").EvaluateAsync<string>("main => main.textContent"), StringComparison.Ordinal);
        Assert.Equal(0, await window.Page.Locator("main img[src=x], main b").CountAsync());
        Assert.NotEqual("taken in", await window.Page.TitleAsync());
    }
}
