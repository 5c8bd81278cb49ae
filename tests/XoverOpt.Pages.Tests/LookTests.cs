using XoverOpt.Pages.Tests.Support;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Pages.Tests;

/// <summary>
/// A picture of every page at the widths of a desk, a laptop and a phone, light and dark, into out/pages; and with XOVEROPT_PICTURES set,
/// those of the README into tests/XoverOpt.Pages.Tests/pictures.
/// </summary>
public sealed class LookTests(Bench bench)
{
    private static readonly string[] Readme = ["run", "build", "new"];

    public static TheoryData<int, bool> All => new() { { 1440, false }, { 1440, true }, { 1024, false }, { 1024, true }, { 390, false }, { 390, true } };

    [Theory]
    [MemberData(nameof(All))]
    public async Task Pages_AtAWidth_AreLaidOutWithinIt(int width, bool dark)
    {
        DirectoryInfo folder = Directory.CreateDirectory(Path.Combine(Repository.Root, "out", "pages"));
        await using Window window = await bench.Open(width, 900, dark);
        foreach (string name in Sights.Names)
        {
            await window.Go(Sights.Path(name, bench));
            string path = Path.Combine(folder.FullName, $"{name}-{width}-{(dark ? "dark" : "light")}.png");
            await window.Page.ScreenshotAsync(new() { Path = path, FullPage = true });
            if (width == 1440 && !dark && Readme.Contains(name) && Environment.GetEnvironmentVariable("XOVEROPT_PICTURES") is { Length: > 0 })
            {
                string pictures = Directory.CreateDirectory(Path.Combine(Repository.Root, "tests", "XoverOpt.Pages.Tests", "pictures")).FullName;
                await window.Page.ScreenshotAsync(new() { Path = Path.Combine(pictures, $"{name}.png"), Clip = new() { X = 0, Y = 0, Width = 1440, Height = 900 } });
            }

            // Text that is wider than what holds it is cut or lies over its neighbour; scrolling tables, fields and what is there for readers only may.
            string[] cut = await window.Page.EvaluateAsync<string[]>(
                """
                () => [...document.querySelectorAll('main *, header *')]
                  .filter((at) => at.scrollWidth > at.clientWidth + 1 && at.clientWidth > 0 && getComputedStyle(at).display !== 'inline'
                    && !at.closest('.wide, .drawing-box, textarea, select, input, svg, .unseen, .u-wrap'))
                  .map((at) => `${at.tagName}.${at.className}: ${at.textContent.trim().slice(0, 60)}`)
                """);
            Assert.True(cut.Length == 0, $"{name} at {width}: {string.Join(" | ", cut.Take(5))}");
            Assert.True(new FileInfo(path).Length > 10_000);
        }
    }
}
