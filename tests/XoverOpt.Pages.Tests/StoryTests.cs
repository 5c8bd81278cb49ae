using System.Text.RegularExpressions;
using Microsoft.Playwright;
using XoverOpt.Pages.Tests.Support;
using XoverOpt.Worker.Tests.Support;
using static Microsoft.Playwright.Assertions;

namespace XoverOpt.Pages.Tests;

/// <summary>What people come for, from the first page to the last.</summary>
public sealed class StoryTests(Bench bench)
{
    private static readonly LocatorAssertionsToHaveTextOptions Patient = new() { Timeout = 120_000 };

    [Fact]
    public async Task Designer_QueuesASearch_SeesItGoOnAndFinishWithoutReload()
    {
        await using Window window = await bench.Open();
        await window.Go("/new?as=file");
        await window.Page.Locator("#text").FillAsync(Bench.Job(1_500_000, "Queued by hand"));
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Hand in" }).ClickAsync();
        await window.Page.WaitForURLAsync(new Regex("/runs/"));
        await window.Page.EvaluateAsync("() => { window.sameWindow = true; window.seen = new Set(); setInterval(() => window.seen.add(document.querySelector('[data-cell=evaluations]').textContent), 20); }");

        await Expect(window.Page.Locator(".headline .state")).ToHaveTextAsync("done", Patient);

        Assert.True(await window.Page.EvaluateAsync<bool>("() => window.sameWindow === true"), "the page was loaded again");
        Assert.True(await window.Page.EvaluateAsync<int>("() => window.seen.size") > 2, "no progress was shown between");
        string id = window.Page.Url.Split('/')[^1];
        int builds = (await bench.Worker.Client.Get($"/api/jobs/{id}/builds"))["builds"]!.AsArray().Count;
        Assert.True(builds > 0);
        await Expect(window.Page.Locator("#build-table tbody tr")).ToHaveCountAsync(builds);
        Assert.Empty(window.Complaints);
    }

    [Fact]
    public async Task Designer_ByForm_HandsInAJobAndMeetsItsBuild()
    {
        await using Window window = await bench.Open();
        await window.Go("/new");
        await window.Page.Locator("#name").FillAsync("By form");
        await window.Page.Locator("#way1-name").FillAsync("");
        await window.Page.Locator("#evaluations").FillAsync("9000");
        await window.Page.Locator("#tolerance").FillAsync("8");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Hand in" }).ClickAsync();
        await window.Page.WaitForURLAsync(new Regex("/runs/"));
        await Expect(window.Page.Locator(".headline .state")).ToHaveTextAsync("done", Patient);

        await window.Page.Locator("#build-table tbody tr").First.GetByRole(AriaRole.Link).ClickAsync();
        await window.Drawn();

        await Expect(window.Page.Locator(".chart")).ToHaveCountAsync(9);
        Assert.Empty(window.Complaints);
    }

    [Fact]
    public async Task Run_StoppedOnThePage_Ends()
    {
        string id = await bench.Worker.Client.Submit(Bench.Job(Desk.Endless, "Endless"));
        await using Window window = await bench.Open();
        await window.Go("/");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Stop Endless" }).ClickAsync();

        await Expect(window.Page.Locator(".headline .state")).ToHaveTextAsync("stopped", Patient);
        Assert.Equal("stopped", (string?)(await bench.Worker.Client.Get($"/api/jobs/{id}"))["state"]);
        Assert.Empty(window.Complaints);
    }

    [Fact]
    public async Task Run_StoppedWithoutScript_Ends()
    {
        string id = await bench.Worker.Client.Submit(Bench.Job(Desk.Endless, "Endless, too"));
        await using Window window = await bench.Open(script: false);
        await window.Page.GotoAsync($"/runs/{id}");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Stop" }).ClickAsync();

        Assert.Equal("stopped", (string?)(await bench.Worker.Client.JobEnded(id))["state"]);
    }

    [Fact]
    public async Task Stop_AskedByAPageOfAnotherSite_IsRefused()
    {
        string id = await bench.Worker.Client.Submit(Bench.Job(Desk.Endless, "Guarded"));
        using HttpClient other = new() { BaseAddress = new Uri(bench.Address) };

        // What a browser would send for a form elsewhere: no mark of a form of ours, and where it comes from.
        using HttpRequestMessage request = new(HttpMethod.Post, $"/runs/{id}/stop") { Content = new FormUrlEncodedContent([]) };
        using HttpResponseMessage unmarked = await other.SendAsync(request, TestContext.Current.CancellationToken);
        using HttpRequestMessage elsewhere = new(HttpMethod.Post, $"/runs/{id}/stop") { Content = new FormUrlEncodedContent([]) };
        elsewhere.Headers.Add("Origin", "http://evil.example");
        using HttpResponseMessage foreign = await other.SendAsync(elsewhere, TestContext.Current.CancellationToken);

        Assert.Equal((System.Net.HttpStatusCode.BadRequest, System.Net.HttpStatusCode.Forbidden), (unmarked.StatusCode, foreign.StatusCode));
        Assert.Null((await bench.Worker.Client.Get($"/api/jobs/{id}"))["ended"]);
        using HttpResponseMessage stopped = await bench.Worker.Client.Http.PostAsync($"/api/jobs/{id}/stop", null, TestContext.Current.CancellationToken);
        Assert.True(stopped.IsSuccessStatusCode);
    }

    [Fact]
    public async Task Form_WithFaults_SaysSoBesideTheFields()
    {
        await using Window window = await bench.Open();
        await window.Go("/new");
        await window.Page.Locator("#tolerance").FillAsync("about two");
        await window.Page.Locator("#points").FillAsync("20 6\n\n50 six\n500 0\n1000 1");
        await window.Page.Locator("#way0-tags").FillAsync("lwo");
        await window.Page.Locator("#way2-longest").FillAsync("2000");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Hand in" }).ClickAsync();

        await Expect(window.Page.Locator("#tolerance-fault")).ToContainTextAsync("about two");
        await Expect(window.Page.Locator("#points-fault")).ToContainTextAsync("line 3");
        await Expect(window.Page.Locator("#way0-tags-fault")).ToContainTextAsync("lwo");
        await Expect(window.Page.Locator("#way2-longest-fault")).ToContainTextAsync("2000");
        await Expect(window.Page.Locator("#tolerance")).ToHaveAttributeAsync("aria-invalid", "true");
        await Expect(window.Page.Locator("#tolerance")).ToHaveValueAsync("about two");
    }

    [Fact]
    public async Task File_WithFaults_SaysSoByLineAndKeepsTheText()
    {
        string job = "{ \"format\": \"job/1\",\n  \"name\": \"<script>alert(1)</script>\",\n  \"inventory\": \"../driverlib\",\n  \"target\": { \"bandHz\": [40, 12000],\n    \"toleranceDb\": -1 } }";
        await using Window window = await bench.Open();
        await window.Go("/new?as=file");
        await window.Page.Locator("#file").SetInputFilesAsync(new FilePayload { Name = "job <b>.json", MimeType = "application/json", Buffer = System.Text.Encoding.UTF8.GetBytes(job) });
        await Expect(window.Page.Locator("#text")).ToHaveValueAsync(job);
        await Expect(window.Page.Locator("[data-taken]")).ToHaveTextAsync("job <b>.json was read.");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Hand in" }).ClickAsync();

        await Expect(window.Page.Locator("#text-faults")).ToContainTextAsync("line 5 /target/toleranceDb");
        await Expect(window.Page.Locator("#text")).ToHaveValueAsync(job);
        Assert.Equal(0, await window.Page.Locator("main script, main b").CountAsync());
    }

    [Fact]
    public async Task Target_EditedInTheForm_IsDrawnAnew()
    {
        await using Window window = await bench.Open();
        await window.Go("/new");
        ILocator canvas = window.Page.Locator("#plot-target canvas");
        string before = await canvas.EvaluateAsync<string>("canvas => canvas.toDataURL()");

        await window.Page.Locator("#points").FillAsync("20 0\n200 12\n16000 0");

        await Expect(window.Page.Locator("[data-target-plot] [role=status]")).ToContainTextAsync("3 points");
        Assert.NotEqual(before, await window.Page.Locator("#plot-target canvas").EvaluateAsync<string>("canvas => canvas.toDataURL()"));
    }

    [Fact]
    public async Task Engineer_DropsAMeasurement_ReadsWhatIsWrongWithTheUnit()
    {
        string csv = BenchCurve.Csv(bench.WithResponse(BenchCurve.Turned(await bench.Build(1), 1)));
        await using Window window = await bench.Open();
        await window.Go($"/inspect?run={bench.RunId}&rank=1");
        await window.Page.Locator("#file").SetInputFilesAsync(new FilePayload { Name = "unit.csv", MimeType = "text/csv", Buffer = System.Text.Encoding.UTF8.GetBytes(csv) });
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Inspect", Exact = true }).ClickAsync();
        await window.Drawn();

        await Expect(window.Page.Locator(".verdict")).ToContainTextAsync("Fail");
        await Expect(window.Page.Locator("main")).ToContainTextAsync("Likely fault");
        await Expect(window.Page.Locator("main")).ToContainTextAsync("turned over");
        await Expect(window.Page.Locator("#plot-unit canvas")).ToBeVisibleAsync();
        Assert.Empty(window.Complaints);
    }

    [Fact]
    public async Task Measurement_ThatIsNone_IsRefusedBesideItsField()
    {
        await using Window window = await bench.Open();
        await window.Go("/inspect");
        await window.Page.Locator("#text").FillAsync("hz,spl_db\n20,ninety\n");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Inspect", Exact = true }).ClickAsync();

        await Expect(window.Page.Locator("#csv-faults")).ToContainTextAsync("ninety");
        await Expect(window.Page.Locator("#build-fault")).ToContainTextAsync("Choose the run");
    }

    [Fact]
    public async Task Engineer_HandsInSerials_GetsPairs()
    {
        await using Window window = await bench.Open(script: false);
        await window.Page.GotoAsync("/pairs");
        await window.Page.Locator("#text").FillAsync(BenchCurve.Serials());
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Match" }).ClickAsync();

        await Expect(window.Page.Locator("#sets")).ToContainTextAsync("10 pairs within 1 dB");
        await Expect(window.Page.Locator("table.grid tbody tr")).ToHaveCountAsync(10);
    }

    [Fact]
    public async Task Table_SortedAndFiltered_ShowsWhatWasAsked()
    {
        await using Window window = await bench.Open();
        await window.Go($"/runs/{bench.RunId}");
        ILocator ranks = window.Page.Locator("#build-table tbody tr:visible th");
        Assert.Equal("1", await ranks.First.InnerTextAsync());

        await window.Page.GetByRole(AriaRole.Button, new() { Name = "build", Exact = true }).ClickAsync();
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "build", Exact = true }).ClickAsync();
        string[] down = [.. await ranks.AllInnerTextsAsync()];
        Assert.True(down.Length > 1);
        Assert.Equal(down.OrderByDescending(rank => int.Parse(rank, System.Globalization.CultureInfo.InvariantCulture)), down);

        await window.Page.GetByLabel("Only builds with").FillAsync("no such receiver");
        await Expect(ranks).ToHaveCountAsync(0);
        await Expect(window.Page.Locator("[data-said]")).ToContainTextAsync($"0 of {down.Length} builds");
    }

    [Fact]
    public async Task Builds_MarkedInTheTable_StandSideBySide()
    {
        await using Window window = await bench.Open();
        await window.Go($"/runs/{bench.RunId}");
        await window.Page.GetByLabel("Compare build 1").CheckAsync();
        await window.Page.GetByLabel("Compare build 3").CheckAsync();
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Compare those marked" }).ClickAsync();
        await window.Drawn();

        await Expect(window.Page.Locator(".compare thead")).ToContainTextAsync("build 3");
        await Expect(window.Page.Locator(".chart")).ToHaveCountAsync(7);
        Assert.Empty(window.Complaints);
    }

    [Fact]
    public async Task Purchasing_AsksFor25Sets_ReadsWhatToOrder()
    {
        await using Window window = await bench.Open();
        await window.Go($"/runs/{bench.OtherId}/builds/1");
        await window.Page.GetByRole(AriaRole.Link, new() { Name = "Parts and order" }).Last.ClickAsync();
        await window.Page.Locator("#sets").FillAsync("25");
        await window.Page.Locator("#by").FillAsync("2030-01-31");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Reckon" }).ClickAsync();

        // The same list as the API gives, whose numbers have tests of their own.
        System.Text.Json.Nodes.JsonObject parts = await bench.Worker.Client.Get($"/api/jobs/{bench.OtherId}/builds/1/parts?sets=25&by=2030-01-31");
        await Expect(window.Page.Locator("#answer")).ToContainTextAsync("25 sets of build 1");
        await Expect(window.Page.Locator(".verdict")).ToHaveTextAsync((string)parts["answer"]!);
        await Expect(window.Page.Locator("table.grid tbody tr")).ToHaveCountAsync(parts["parts"]!["lines"]!.AsArray().Count);
        Assert.Empty(window.Complaints);
    }

    [Fact]
    public async Task Purchasing_AsksForNoSets_IsToldWhatIsAllowed()
    {
        await using Window window = await bench.Open(script: false);
        await window.Page.GotoAsync($"/parts?run={bench.OtherId}&rank=1&sets=none");

        await Expect(window.Page.Locator("#sets-fault")).ToContainTextAsync("none");
        await Expect(window.Page.Locator("#sets")).ToHaveValueAsync("none");
    }

    [Fact]
    public async Task Designer_RunsAgainWithAChange_ReadsWhatChanged()
    {
        await using Window window = await bench.Open();
        await window.Go($"/runs/{bench.OtherId}");
        await window.Page.GetByRole(AriaRole.Link, new() { Name = "Run again" }).ClickAsync();
        await window.Page.Locator("#patch").FillAsync("{ \"target\": { \"toleranceDb\": -7 } }");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Run again" }).ClickAsync();
        await Expect(window.Page.Locator("#patch-faults")).ToContainTextAsync("/target/toleranceDb");
        await window.Page.Locator("#patch").FillAsync("{ \"target\": { \"toleranceDb\": 7 } }");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Run again" }).ClickAsync();
        await window.Page.WaitForURLAsync(url => !url.Contains("rerun", StringComparison.Ordinal) && !url.Contains(bench.OtherId, StringComparison.Ordinal));
        await Expect(window.Page.Locator(".headline .state")).ToHaveTextAsync("done", Patient);

        await window.Page.GetByRole(AriaRole.Link, new() { Name = "What changed" }).ClickAsync();

        await Expect(window.Page.Locator("section:has(#asked)")).ToContainTextAsync("7");
        await Expect(window.Page.Locator("section:has(#drawer)")).ToContainTextAsync("same as before");
        await Expect(window.Page.Locator("section:has(#fates) tbody tr").First).ToBeVisibleAsync();

        // The browser itself says of the refused patch that it was answered with status 400.
        Assert.DoesNotContain(window.Complaints, complaint => !complaint.Contains("400", StringComparison.Ordinal));
    }
}
