using System.Text.RegularExpressions;
using System.Xml.Linq;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop.Paperwork;

namespace XoverOpt.Worker.Tests.Commands;

public sealed class PaperCommandTests
{
    [Fact]
    public async Task Papers_OfASearch_AreWrittenByEveryCommand()
    {
        using Desk desk = SpreadCommandTests.Stated();
        await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");
        string[] of = ["o/builds/01.json", "--job", "jobs/job.json"];

        foreach (string kind in BuildDrawings.Names)
        {
            (int drawn, string svg, string error) = await Cli.Run(desk.Root, ["drawing", .. of, "--kind", kind]);
            Assert.True(drawn == 0, error);
            Assert.Equal("svg", XDocument.Parse(svg).Root!.Name.LocalName);
        }

        (int netlist, string said, _) = await Cli.Run(desk.Root, ["netlist", .. of, "--out", "papers/01.cir"]);
        (int sheet, _, string sheetError) = await Cli.Run(desk.Root, ["sheet", .. of, "--out", "papers/01.html"]);
        await Cli.Run(desk.Root, ["spread", .. of, "--samples", "200", "--limits", "bench.csv"]);
        (int limited, string limitedPage, string limitedError) = await Cli.Run(desk.Root, ["sheet", .. of, "--limits", "bench.csv"]);
        (int report, _, string reportError) = await Cli.Run(desk.Root, "report", "o", "--out", "papers/report.html");

        Assert.Equal(0, netlist);
        Assert.Contains("written to papers/01.cir", said, StringComparison.Ordinal);
        Assert.EndsWith(".end\n", desk.Read("papers/01.cir"), StringComparison.Ordinal);
        Assert.True(sheet == 0, sheetError);
        Assert.Contains("Checks, in this order", desk.Read("papers/01.html"), StringComparison.Ordinal);
        Assert.True(limited == 0, limitedError);
        Assert.Contains("bench.csv", limitedPage, StringComparison.Ordinal);
        Assert.True(report == 0, reportError);
        string page = desk.Read("papers/report.html");
        foreach (string words in new[] { "How sure are we?", "Builds, best first", "injures hearing", "<svg", "Build 1" })
        {
            Assert.Contains(words, page, StringComparison.Ordinal);
        }

        Assert.DoesNotMatch(new Regex("<script|<link|<img|src=|href=|url\\(|@import|https?://(?!www\\.w3\\.org/2000/svg)", RegexOptions.IgnoreCase), page);
    }

    [Fact]
    public async Task Papers_WrongInput_IsRefusedInWords()
    {
        using Desk desk = SpreadCommandTests.Stated();
        await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");
        desk.Write("jobs/other.json", desk.Read("jobs/job.json").Replace("\"name\": \"", "\"name\": \"Another ", StringComparison.Ordinal));
        desk.Write("bad.csv", "hz,lowDb\n1,2\n");
        string[] of = ["o/builds/01.json", "--job", "jobs/job.json"];

        (int kind, _, string kindError) = await Cli.Run(desk.Root, ["drawing", .. of, "--kind", "portrait"]);
        (int limits, _, string limitsError) = await Cli.Run(desk.Root, ["sheet", .. of, "--limits", "bad.csv"]);
        (int folder, _, string folderError) = await Cli.Run(desk.Root, "report", "nowhere");
        (int job, _, string jobError) = await Cli.Run(desk.Root, "report", "o", "--job", "jobs/other.json");

        Assert.Equal((1, 1, 1, 1), (kind, limits, folder, job));
        Assert.Contains("schematic", kindError, StringComparison.Ordinal);
        Assert.Contains("highDb", limitsError, StringComparison.Ordinal);
        Assert.Contains("solve", folderError, StringComparison.Ordinal);
        Assert.Contains("the job the result was found for", jobError, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Report_NamesWithMarkup_ComeOutAsText()
    {
        using Desk desk = SpreadCommandTests.Stated();
        desk.Write("jobs/job.json", desk.Read("jobs/job.json").Replace("\"name\": \"low\"", "\"name\": \"<img src=x onerror=alert(1)>\"", StringComparison.Ordinal));
        await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");

        (int exit, string page, string error) = await Cli.Run(desk.Root, "report", "o");

        Assert.True(exit == 0, error);
        Assert.Contains("&lt;img src=x onerror=alert(1)&gt;", page, StringComparison.Ordinal);
        Assert.DoesNotContain("<img", page, StringComparison.Ordinal);
    }
}
