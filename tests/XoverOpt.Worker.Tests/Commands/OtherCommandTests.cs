using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Commands;

public sealed class OtherCommandTests
{
    [Fact]
    public async Task Evaluate_BuildOfASearch_GivesItsCostFiguresAndResponseBack()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job());
        await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");

        (int exit, string output, string error) = await Cli.Run(desk.Root, "evaluate", "o/builds/01.json", "--job", "jobs/job.json", "--json");

        Assert.True(exit == 0, error);
        JsonNode found = JsonNode.Parse(desk.Read("o/builds/01.json"))!, again = JsonNode.Parse(output)!;
        foreach (string part in new[] { "cost", "figures", "ways", "key", "feasible", "response" })
        {
            Assert.Equal(found[part]!.ToJsonString(), again[part]!.ToJsonString());
        }
    }

    [Fact]
    public async Task Evaluate_AtStatedFrequencies_GivesARowEach()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job());
        await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");
        string[] at = ["evaluate", "o/builds/01.json", "--job", "jobs/job.json", "--hz", "100", "1000", "8000.5"];

        (_, string table, _) = await Cli.Run(desk.Root, at);
        (_, string json, _) = await Cli.Run(desk.Root, [.. at, "--json"]);

        JsonNode response = JsonNode.Parse(json)!["response"]!;
        Assert.Equal([100, 1000, 8000.5], response["hz"]!.AsArray().Select(f => (double)f!));
        double re = (double)response["pressureRe"]![1]!, im = (double)response["pressureIm"]![1]!;
        string level = (20 * Math.Log10(Math.Sqrt((re * re) + (im * im)) / 20e-6)).ToString("F2", System.Globalization.CultureInfo.InvariantCulture);
        string[] row = table.Split('\n').Single(line => line.TrimStart().StartsWith("1000 ", StringComparison.Ordinal)).Split(' ', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(level, row[1]);
        Assert.Contains("injures hearing", table, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Check_GoodAndBadFiles_ListsEveryFaultOfAll()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job());
        desk.Write("jobs/bad.json", Desk.Job().Replace("\"low\", \"receivers\"", "\"low\", \"recievers\"", StringComparison.Ordinal).Replace("[40, 12000]", "[40, -1]", StringComparison.Ordinal));

        (int good, string order, _) = await Cli.Run(desk.Root, "check", "jobs/job.json", "driverlib");
        (int bad, _, string faults) = await Cli.Run(desk.Root, "check", "jobs/job.json", "jobs/bad.json", "missing.json");

        Assert.Equal((0, "jobs/job.json: in order\ndriverlib: in order\n"), (good, order));
        Assert.Equal(1, bad);
        Assert.Contains("/target/bandHz/1", faults, StringComparison.Ordinal);
        Assert.Contains("Did you mean \"receivers\"?", faults, StringComparison.Ordinal);
        Assert.Contains("missing.json", faults, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("solve")]
    [InlineData("check")]
    [InlineData("evaluate")]
    [InlineData("levels")]
    [InlineData("sources")]
    [InlineData("ears")]
    [InlineData("spread")]
    [InlineData("robust")]
    [InlineData("serve")]
    [InlineData("inspect")]
    [InlineData("pairs")]
    [InlineData("submit")]
    [InlineData("watch")]
    [InlineData("list")]
    [InlineData("stop")]
    [InlineData("delete")]
    [InlineData("pause")]
    [InlineData("resume")]
    [InlineData("export")]
    [InlineData]
    public async Task Help_OfEachCommand_HasExamplesAndExitCodes(params string[] command)
    {
        (int exit, string output, _) = await Cli.Run(AppContext.BaseDirectory, [.. command, "--help"]);

        Assert.Equal(0, exit);
        Assert.Contains("Examples:", output, StringComparison.Ordinal);
        Assert.Contains("Exit codes:", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Solve_JobThatStartsFromABuildThatIsNotThere_IsRefusedInItsPlace()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job(more: "\"from\": { \"build\": \"b.json\", \"free\": [\"low\"] },"));

        (int exit, _, string error) = await Cli.Run(desk.Root, "solve", "jobs/job.json");

        Assert.Equal(1, exit);
        Assert.Contains("/from", error, StringComparison.Ordinal);
    }
}
