using System.Net;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Api;

/// <summary>Where parts are used and what a build comes to with others, by API and command, after one small job.</summary>
public sealed class PartUsesApiTests : IAsyncLifetime
{
    private readonly Desk _desk = new();
    private WorkerHere _worker = null!;
    private string _job = "";

    public async ValueTask InitializeAsync()
    {
        _worker = await WorkerHere.Start(_desk);
        _job = await _worker.Client.Submit(Desk.Job());
        await _worker.Client.JobEnded(_job);
    }

    public async ValueTask DisposeAsync()
    {
        await _worker.DisposeAsync();
        _desk.Dispose();
    }

    [Fact]
    public async Task Uses_OfEachPartOfABuild_HaveThatBuild()
    {
        JsonObject[] builds = [.. (await _worker.Client.Builds(_job)).Select(build => JsonNode.Parse(build)!.AsObject())];
        JsonNode high = builds[0]["ways"]!.AsArray()[1]!;

        foreach (string part in new[] { (string)high["receiver"]!, "T15", $"resistor {high["network"]![0]!["ohm"]} Ω", $"RESISTOR {high["network"]![0]!["ohm"]} ohm" })
        {
            JsonObject uses = await _worker.Client.Get($"/api/parts/{Uri.EscapeDataString(part)}/uses");
            Assert.Equal(part == (string)high["receiver"]! ? "receiver" : part == "T15" ? "tubing" : "resistor", (string?)uses["kind"]);
            JsonNode use = uses["uses"]![0]!;
            Assert.Equal((_job, "Small two-way", "done", 1), ((string?)use["jobId"], (string?)use["job"], (string?)use["state"], (int)use["rank"]!));
            Assert.Equal((double)builds[0]["cost"]!["total"]!, (double)use["cost"]!);
            Assert.NotNull(use["ended"]);
        }

        JsonObject tube = await _worker.Client.Get("/api/parts/T15/uses");
        Assert.Equal(builds[0]["ways"]!.AsArray().Sum(way => (double)way!["tube"]![0]!["lengthMm"]!), (double)tube["uses"]![0]!["lengthMm"]!, 1e-9);
        Assert.Equal((builds.Length, 1), ((int)tube["builds"]!, (int)tube["runs"]!));

        string receiver = (string)high["receiver"]!;
        Assert.Equal((await _worker.Client.Get($"/api/parts/{receiver}/uses")).ToJsonString(), (await _worker.Client.Get($"/api/receivers/{receiver}/uses")).ToJsonString());
    }

    [Fact]
    public async Task Uses_InPages_LeadFromOneToTheNext()
    {
        List<int> ranks = [];
        for (string? page = "/api/parts/T15/uses?limit=1"; page is not null;)
        {
            JsonObject answer = await _worker.Client.Get(page);
            ranks.AddRange(answer["uses"]!.AsArray().Select(use => (int)use!["rank"]!));
            page = (string?)answer["next"];
        }

        Assert.Equal(Enumerable.Range(1, (await _worker.Client.Builds(_job)).Length), ranks);
    }

    [Fact]
    public async Task Without_AReceiver_CountsTheBuildsThatNameIt()
    {
        JsonObject[] builds = [.. (await _worker.Client.Builds(_job)).Select(build => JsonNode.Parse(build)!.AsObject())];
        string receiver = (string)builds[0]["ways"]!.AsArray()[1]!["receiver"]!;
        JsonObject[] left = [.. builds.Where(build => build["ways"]!.AsArray().All(way => (string)way!["receiver"]! != receiver))];

        JsonNode loss = (await _worker.Client.Get($"/api/parts/{receiver}/without"))["jobs"]!.AsArray().Single()!;

        Assert.Equal((_job, builds.Length, builds.Length - left.Length), ((string?)loss["jobId"], (int)loss["builds"]!, (int)loss["lost"]!));
        Assert.Equal((int?)left.FirstOrDefault()?["rank"], (int?)loss["nextRank"]);
        Assert.Equal((double?)left.FirstOrDefault()?["cost"]!["total"], (double?)loss["nextCost"]);
        Assert.Equal((1, builds.Length), ((int)loss["allRuns"]!, (int)loss["allBuilds"]!));
    }

    [Fact]
    public async Task Part_ThatIsNot_IsNotFoundWithTheLikelyOne()
    {
        using HttpResponseMessage wrong = await _worker.Client.Http.GetAsync("/api/parts/L0-1/without", TestContext.Current.CancellationToken);
        JsonNode fault = JsonNode.Parse(await wrong.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!["faults"]![0]!;
        using HttpResponseMessage query = await _worker.Client.Http.GetAsync("/api/parts/T15/uses?limit=0&after=x", TestContext.Current.CancellationToken);
        JsonNode faults = JsonNode.Parse(await query.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!["faults"]!;

        Assert.Equal((HttpStatusCode.NotFound, HttpStatusCode.BadRequest), (wrong.StatusCode, query.StatusCode));
        Assert.Equal(("part", "Did you mean \"LO-1\"?"), ((string?)fault["pointer"], (string?)fault["hint"]));
        Assert.Equal(["limit", "after"], faults.AsArray().Select(one => (string?)one!["pointer"]));

        // In the drawer, in no build: no fault, no use.
        _desk.Write("driverlib/more.json", "[ { \"format\": \"damper/1\", \"partNumber\": \"D99\", \"ohmCgs\": 9900 } ]");
        Assert.Equal(0, (int)(await _worker.Client.Get("/api/parts/D99/uses"))["builds"]!);
    }

    [Fact]
    public async Task WhereUsed_OfAWorkerAndOfItsStore_SaysTheSame()
    {
        string url = _worker.Client.Http.BaseAddress!.ToString();
        (int asked, string answer, string error) = await Cli.Run(_desk.Root, "where-used", "lo-1", "--url", url);
        (int read, string stored, string readError) = await Cli.Run(_desk.Root, "where-used", "LO-1", "--store", "store");
        (int json, string text, _) = await Cli.Run(_desk.Root, "where-used", "LO-1", "--store", "store", "--json");
        (int wrong, _, string fault) = await Cli.Run(_desk.Root, "where-used", "L0-1", "--store", "store");
        (int refused, _, string refusal) = await Cli.Run(_desk.Root, "where-used", "L0-1", "--url", url);

        Assert.True(asked == 0 && read == 0 && json == 0, error + readError);
        Assert.Equal(answer, stored);
        Assert.Contains(_job, answer, StringComparison.Ordinal);
        Assert.Contains("Small two-way", answer, StringComparison.Ordinal);
        Assert.All(answer.Split('\n'), line => Assert.True(line.Length <= 130, line));
        Assert.Equal("none", JsonNode.Parse(text)!["without"]!["jobs"]![0]!["nextRank"]?.ToString() ?? "none");
        Assert.Equal((1, 1), (wrong, refused));
        Assert.Contains("Did you mean \"LO-1\"?", fault, StringComparison.Ordinal);
        Assert.Contains("Did you mean \"LO-1\"?", refusal, StringComparison.Ordinal);
    }
}
