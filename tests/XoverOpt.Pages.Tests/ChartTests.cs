using System.Globalization;
using Microsoft.Playwright;
using XoverOpt.Pages.Tests.Support;
using static Microsoft.Playwright.Assertions;

namespace XoverOpt.Pages.Tests;

/// <summary>Working with the charts of a build.</summary>
public sealed class ChartTests(Bench bench)
{
    [Fact]
    public async Task Chart_ReadByKeyboard_SaysFrequencyAndValues()
    {
        await using Window window = await Build();
        ILocator area = window.Page.Locator("#plot-response .area"), readout = window.Page.Locator("#plot-response .readout");

        await area.FocusAsync();
        await window.Page.Keyboard.PressAsync("ArrowRight");
        await Expect(readout).ToContainTextAsync("kHz");
        string first = await readout.InnerTextAsync();
        await window.Page.Keyboard.PressAsync("ArrowRight");
        await Expect(readout).Not.ToHaveTextAsync(first);
        Assert.Contains("whole", first, StringComparison.Ordinal);
        Assert.Contains("dB", first, StringComparison.Ordinal);

        await window.Page.Keyboard.PressAsync("Home");
        await Expect(readout).ToContainTextAsync("Hz");
        Assert.Contains("20", (await readout.InnerTextAsync())[..4], StringComparison.Ordinal);
    }

    [Fact]
    public async Task Chart_UnderThePointer_ReadsOut()
    {
        await using Window window = await Build();
        ILocator over = window.Page.Locator("#plot-impedance .u-over");
        await over.ScrollIntoViewIfNeededAsync();

        await over.HoverAsync();

        await Expect(window.Page.Locator("#plot-impedance .readout")).ToContainTextAsync("Ω");
    }

    [Fact]
    public async Task Chart_ZoomedAndBack_IsDrawnAnew()
    {
        await using Window window = await Build();
        string whole = await Picture(window, "phase");

        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Zoom in: Phase", Exact = true }).ClickAsync();
        await Expect(window.Page.Locator("#plot-phase canvas")).ToBeVisibleAsync();
        string near = await Picture(window, "phase");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Show all: Phase", Exact = true }).ClickAsync();

        Assert.NotEqual(whole, near);
        Assert.Equal(whole, await Picture(window, "phase"));
    }

    [Fact]
    public async Task Curve_Hidden_IsGoneFromTheChart()
    {
        await using Window window = await Build();
        string all = await Picture(window, "response");

        await window.Page.Locator("#plot-response .keys input").Last.UncheckAsync();

        Assert.NotEqual(all, await Picture(window, "response"));
    }

    [Fact]
    public async Task Chart_SavedAsCsv_HasTheNumbersOfTheBuildFile()
    {
        await using Window window = await Build();
        IDownload file = await window.Page.RunAndWaitForDownloadAsync(() => window.Page.GetByRole(AriaRole.Button, new() { Name = "Save as CSV: Response against the target" }).ClickAsync());
        using StreamReader reader = new(await file.CreateReadStreamAsync());
        string[] lines = (await reader.ReadToEndAsync(TestContext.Current.CancellationToken)).Trim().Split('\n');

        // The response in the build file is the search's own; the line nearest to 1 kHz is on both grids.
        System.Text.Json.Nodes.JsonNode response = System.Text.Json.Nodes.JsonNode.Parse(await bench.Build(1))!["response"]!;
        int at = Array.FindIndex([.. response["hz"]!.AsArray().Select(hz => (double)hz!)], hz => Math.Abs(hz - 1000) < 1e-6);
        double level = 20 * Math.Log10(double.Hypot((double)response["pressureRe"]![at]!, (double)response["pressureIm"]![at]!) / 20e-6);
        string[] heads = lines[0].Split("\",\""), cells = lines.Single(line => line.StartsWith("1000,", StringComparison.Ordinal)).Split(',');
        int column = Array.FindIndex(heads, head => head.StartsWith("whole", StringComparison.Ordinal));
        Assert.Equal(level, double.Parse(cells[column], CultureInfo.InvariantCulture), 2);
        Assert.EndsWith(".csv", file.SuggestedFilename, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Chart_SavedAsPng_IsAPicture()
    {
        await using Window window = await Build();
        IDownload file = await window.Page.RunAndWaitForDownloadAsync(() => window.Page.GetByRole(AriaRole.Button, new() { Name = "Save as PNG: Impedance", Exact = true }).ClickAsync());
        await using Stream stream = await file.CreateReadStreamAsync();
        byte[] head = new byte[24];
        await stream.ReadExactlyAsync(head, TestContext.Current.CancellationToken);

        // PNG (ISO/IEC 15948), 5.2: its signature; 11.2.2: width as the first number of the first chunk.
        Assert.Equal([0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A], head[..8]);
        Assert.True(System.Buffers.Binary.BinaryPrimitives.ReadInt32BigEndian(head.AsSpan(16)) > 300);
    }

    [Fact]
    public async Task Chart_AsSvg_LeadsToTheWorkersDrawing()
    {
        await using Window window = await Build();
        string[] links = await window.Page.EvaluateAsync<string[]>("() => [...document.querySelectorAll('.chart-tools a')].map((link) => link.href)");

        Assert.Equal(8, links.Length);
        foreach (string link in links)
        {
            using HttpResponseMessage answer = await bench.Worker.Client.Http.GetAsync(link, TestContext.Current.CancellationToken);
            Assert.Equal("image/svg+xml", answer.Content.Headers.ContentType!.MediaType);
        }
    }

    [Fact]
    public async Task Fan_AskedFor_IsDrawnWithItsYield()
    {
        await using Window window = await Build();
        string before = await Picture(window, "response");

        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Draw the fan of built units" }).ClickAsync();

        await Expect(window.Page.Locator("#plot-response [role=status]")).ToContainTextAsync("keep every limit", new() { Timeout = 60_000 });
        await Expect(window.Page.Locator("#plot-response .keys")).ToContainTextAsync("built units");
        Assert.NotEqual(before, await Picture(window, "response"));
        Assert.Empty(window.Complaints);
    }

    private async Task<Window> Build()
    {
        Window window = await bench.Open();
        await window.Go($"/runs/{bench.RunId}/builds/1");
        return window;
    }

    private static async Task<string> Picture(Window window, string chart)
    {
        // A change is drawn with the next frame.
        await window.Page.EvaluateAsync("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))");
        return await window.Page.Locator($"#plot-{chart} canvas").EvaluateAsync<string>("canvas => canvas.toDataURL()");
    }
}
