using System.Net;
using System.Security.Cryptography;
using System.Text;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using XoverOpt.Worker.Tests.Commands;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop.Paperwork;

namespace XoverOpt.Worker.Tests.Api;

public sealed class PaperApiTests
{
    [Fact]
    public async Task Papers_OfAStoredBuild_AreThoseOfTheCommands()
    {
        using Desk desk = SpreadCommandTests.Stated();
        await using WorkerHere worker = await WorkerHere.Start(desk);
        string id = await worker.Client.Submit(desk.Read("jobs/job.json"));
        await worker.Client.JobEnded(id);
        string build = $"/api/jobs/{id}/builds/1";
        desk.Write("one.json", (await worker.Client.Builds(id))[0]);

        (string netlist, _, string netlistType) = await Get(worker, $"{build}/netlist");
        (_, string netlistHere, _) = await Cli.Run(desk.Root, "netlist", "one.json", "--job", "jobs/job.json");
        Assert.Equal(netlistHere, netlist);
        Assert.Equal("text/plain", netlistType);

        foreach (string kind in BuildDrawings.Names)
        {
            (string svg, _, string type) = await Get(worker, $"{build}/drawings/{kind}.svg");
            Assert.Equal("image/svg+xml", type);
            Assert.Equal("svg", XDocument.Parse(svg).Root!.Name.LocalName);
        }

        (string sheet, string policy, string sheetType) = await Get(worker, $"{build}/sheet");
        Assert.Equal("text/html", sheetType);
        Assert.Contains(id, sheet, StringComparison.Ordinal);

        // The policy lets through the style that is there and nothing else (CSP 3, 2.3.1: the hash of what stands between the tags).
        string style = Regex.Match(sheet, "<style>(.*?)</style>", RegexOptions.Singleline).Groups[1].Value;
        Assert.Contains($"style-src 'sha256-{Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(style)))}'", policy, StringComparison.Ordinal);
        Assert.Contains("default-src 'none'", policy, StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);

        foreach (string path in new[] { $"{build}/drawings/portrait.svg", $"/api/jobs/{id}/builds/99/sheet", "/api/jobs/none/builds/1/netlist", "/api/jobs/none/builds/1/drawings/response.svg" })
        {
            using HttpResponseMessage refused = await worker.Client.Http.GetAsync(path, TestContext.Current.CancellationToken);
            Assert.Equal(HttpStatusCode.NotFound, refused.StatusCode);
            Assert.Equal("application/problem+json", refused.Content.Headers.ContentType!.MediaType);
        }
    }

    private static async Task<(string Text, string Policy, string Type)> Get(WorkerHere worker, string path)
    {
        using HttpResponseMessage answer = await worker.Client.Http.GetAsync(path, TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        return (await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), string.Join(' ', answer.Headers.GetValues("Content-Security-Policy")), answer.Content.Headers.ContentType!.MediaType!);
    }
}
