using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Commands;

public sealed class SpreadCommandTests
{
    [Fact]
    public async Task Spread_BuildsOfASearch_ComparesThemAndWritesLimits()
    {
        using Desk desk = Stated();
        await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");
        string[] two = ["spread", "o/builds/01.json", "o/builds/02.json", "--job", "jobs/job.json", "--samples", "400"];

        (int exit, string text, string error) = await Cli.Run(desk.Root, two);
        (_, string once, _) = await Cli.Run(desk.Root, [.. two, "--json", "--threads", "1"]);
        (_, string again, _) = await Cli.Run(desk.Root, [.. two, "--json", "--threads", "4"]);
        (int limits, _, _) = await Cli.Run(desk.Root, "spread", "o/builds/01.json", "--job", "jobs/job.json", "--samples", "200", "--limits", "bench/01.csv");

        Assert.True(exit == 0, error);
        Assert.Contains("Side by side, on the same draws", text, StringComparison.Ordinal);
        Assert.Contains("low receiver 1 sensitivity", text, StringComparison.Ordinal);
        Assert.Contains("states no tolerance; taken as ±", text, StringComparison.Ordinal);
        Assert.Contains("at every one at once", text, StringComparison.Ordinal);
        Assert.Contains("injures hearing", text, StringComparison.Ordinal);
        Assert.Equal(once, again);
        JsonNode first = JsonNode.Parse(once)!["builds"]![0]!;
        Assert.InRange((double)first["yield"]![0]!, 0, 1);
        Assert.Equal(0, limits);
        Assert.Contains("hz,expectedDb,lowDb,highDb", desk.Read("bench/01.csv"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Spread_WrongInput_IsRefusedInWords()
    {
        using Desk desk = Stated();
        await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");
        string[] at = ["spread", "o/builds/01.json", "--job", "jobs/job.json"];

        (int odd, _, string oddError) = await Cli.Run(desk.Root, [.. at, "--samples", "201"]);
        (int shape, _, string shapeError) = await Cli.Run(desk.Root, [.. at, "--receiver-shape", "bell"]);
        (int missing, _, string missingError) = await Cli.Run(desk.Root, "spread", "none.json", "--job", "jobs/job.json");
        (int both, _, string bothError) = await Cli.Run(desk.Root, "spread", "o/builds/01.json", "o/builds/02.json", "--job", "jobs/job.json", "--limits", "l.csv");

        Assert.Equal((1, 1, 1, 1), (odd, shape, missing, both));
        Assert.Contains("even number from 200 to 100000", oddError, StringComparison.Ordinal);
        Assert.Contains("truncated-normal", shapeError, StringComparison.Ordinal);
        Assert.Contains("none.json", missingError, StringComparison.Ordinal);
        Assert.Contains("limits of one build", bothError, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Solve_JobThatAsksForRobustRanking_SaysWhichBuildHoldsUpBest()
    {
        using Desk desk = Stated("\"robust\": { \"samples\": 50 },");
        (int _, string text, _) = await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");

        JsonNode result = JsonNode.Parse(desk.Read("o/result.json"))!;
        Assert.Contains("holds up best", (string?)result["robust"]!["words"], StringComparison.Ordinal);
        Assert.Equal((int)result["builds"]![0]!["robust"]!["nominalRank"]! == 1, (bool)result["robust"]!["winnerIsNominal"]!);
        double[] scores = [.. result["builds"]!.AsArray().Where(row => (bool)row!["feasible"]!).Select(row => (double)row!["robust"]!["score"]!)];
        Assert.Equal(scores.Order(), scores);
        Assert.Contains("holds up best", text.ReplaceLineEndings(" "), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Robust_BuildsOfASearch_RanksThemAndSaysHowSurely()
    {
        using Desk desk = Stated();
        await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");
        string[] two = ["robust", "o/builds/01.json", "o/builds/02.json", "o/builds/01.json", "--job", "jobs/job.json"];

        (int exit, string text, string error) = await Cli.Run(desk.Root, [.. two, "--samples", "200"]);
        (int weight, _, string weightError) = await Cli.Run(desk.Root, [.. two, "--weight", "0"]);
        (int missing, _, string missingError) = await Cli.Run(desk.Root, "robust", "none.json", "--job", "jobs/job.json");

        Assert.True(exit == 0, error);
        Assert.Contains("200 built units of each build", text, StringComparison.Ordinal);
        Assert.Contains("holds up best", text.ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.Single(text.Split('\n'), line => line.EndsWith("01.json", StringComparison.Ordinal));
        Assert.Single(text.Split('\n'), line => line.EndsWith("02.json", StringComparison.Ordinal) && line.Contains('±'));
        Assert.Contains("injures hearing", text, StringComparison.Ordinal);
        Assert.Equal((1, 1), (weight, missing));
        Assert.Contains("above 0, at most 1", weightError, StringComparison.Ordinal);
        Assert.Contains("none.json", missingError, StringComparison.Ordinal);
    }

    /// <summary>A drawer that states the spread of its receivers.</summary>
    internal static Desk Stated(string more = "")
    {
        Desk desk = new();
        desk.Write("driverlib/stock.json", desk.Read("driverlib/stock.json").Replace(
            "\"limits\": { \"armature", "\"spread\": { \"sensitivityDb\": 1, \"resonancePercent\": 4, \"dcResistancePercent\": 5 }, \"limits\": { \"armature", StringComparison.Ordinal));
        desk.Write("jobs/job.json", Desk.Job(more: more));
        return desk;
    }
}
