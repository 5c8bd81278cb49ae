using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Commands;

public sealed class SolveCommandTests
{
    [Fact]
    public async Task Solve_SmallJob_PrintsAndWritesWhatItFound()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job());

        (int exit, string output, string error) = await Cli.Run(desk.Root, "solve", "jobs/job.json");

        Assert.True(exit == 0, error);
        string[] builds = desk.Builds("out/job");
        JsonNode result = JsonNode.Parse(desk.Read("out/job/result.json"))!;
        Assert.Equal(builds.Length, result["builds"]!.AsArray().Count);
        Assert.InRange(builds.Length, 1, 4);
        Assert.Equal((string?)result["builds"]![0]!["key"], (string?)JsonNode.Parse(builds[0])!["key"]);

        string report = desk.Read("out/job/report.txt");
        Assert.StartsWith(report, output, StringComparison.Ordinal);
        Assert.Contains("Build 1, keeps every limit", report, StringComparison.Ordinal);
        Assert.Contains("LO-1", report, StringComparison.Ordinal);
        Assert.Contains("injures hearing", report, StringComparison.Ordinal);
        Assert.Contains("ear impression", report, StringComparison.Ordinal);
        Assert.Contains("; values that can be bought cost ", report, StringComparison.Ordinal);
        Assert.Contains("Of the builds that keep every limit:", report, StringComparison.Ordinal);
        Assert.Contains(" layouts tried, seed 5, version ", report, StringComparison.Ordinal);
        Assert.Contains("exploring layouts", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Solve_IntoAPipe_IsPlainAndFitsAHundredColumns()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job());

        (_, string output, string error) = await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");

        Assert.DoesNotContain('\u001b', output + error);
        string[] table = [.. output.Split('\n').TakeWhile(line => !line.StartsWith("Build 1", StringComparison.Ordinal))];
        Assert.True(table.Length > 4, output);
        Assert.All(table, line => Assert.True(line.Length <= 100, line));
    }

    [Fact]
    public async Task Solve_SameSeedAnyThreads_WritesTheSameBytes()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job());

        foreach (string threads in new[] { "1", "2", "8" })
        {
            (int exit, _, string error) = await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "t" + threads, "--threads", threads);
            Assert.True(exit == 0, error);
        }

        Assert.NotEmpty(desk.Builds("t1"));
        foreach (string other in new[] { "t2", "t8" })
        {
            Assert.Equal(desk.Builds("t1"), desk.Builds(other));
            Assert.Equal(desk.Read("t1/result.json"), desk.Read(other + "/result.json"));
            Assert.Equal(desk.Read("t1/report.txt"), desk.Read(other + "/report.txt"));
        }
    }

    [Fact]
    public async Task Solve_SeedAndEvaluations_StandInPlaceOfTheJobs()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job(Desk.Endless));

        (int exit, _, string error) = await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o", "--seed", "18446744073709551615", "--evaluations", "2000");

        Assert.True(exit == 0, error);
        JsonNode result = JsonNode.Parse(desk.Read("o/result.json"))!;
        Assert.Equal(ulong.MaxValue, (ulong)result["seed"]!);
        Assert.InRange((long)result["evaluations"]!, 500, 5000);
    }

    [Fact]
    public async Task Solve_Again_LeavesNoBuildOfTheLastTime()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job());
        desk.Write("o/builds/97.json", "old");
        desk.Write("o/builds/mine.json", "mine");

        await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");

        Assert.False(File.Exists(Path.Combine(desk.Root, "o/builds/97.json")));
        Assert.Equal("mine", desk.Read("o/builds/mine.json"));
    }

    [Fact]
    public async Task Solve_Interrupted_KeepsTheBestSoFar()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job(Desk.Endless));
        using Cli cli = Cli.Start(desk.Root, "solve", "jobs/job.json", "--out", "o");
        await Until.True(() => cli.Error.Contains("best", StringComparison.Ordinal), () => cli.Error);

        cli.Interrupt();

        Assert.Equal(130, await cli.Exit());
        Assert.NotEmpty(desk.Builds("o"));
        Assert.Equal("stopped", (string?)JsonNode.Parse(desk.Read("o/result.json"))!["reason"]);
    }

    [Fact]
    public async Task Solve_NoLayoutFits_SaysWhichLimitBlocks()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job(limits: "{ \"maxPartsCost\": 3 }"));

        (int exit, string output, string error) = await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");

        Assert.Equal(2, exit);
        Assert.Contains("no layout fits: limits.maxPartsCost", error, StringComparison.Ordinal);
        Assert.Contains("no layout fits: limits.maxPartsCost", output, StringComparison.Ordinal);
        Assert.Empty(desk.Builds("o"));
    }

    [Fact]
    public async Task Solve_NoBuildKeepsALimit_WritesTheNearestAndSaysWhichItBreaks()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job(limits: "{ \"minImpedanceOhm\": 5000 }"));

        (int exit, string output, string error) = await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");

        Assert.Equal(2, exit);
        Assert.Contains("no build found keeps every limit", error, StringComparison.Ordinal);
        Assert.Contains("BREAKS limits", output, StringComparison.Ordinal);
        Assert.NotEmpty(desk.Builds("o"));
    }

    [Theory]
    [InlineData("solve", "jobs/jobb.json")]
    [InlineData("solve", "nowhere/job.json")]
    [InlineData("solve", "jobs")]
    [InlineData("solve", "jobs/broken.json")]
    [InlineData("evaluate", "missing.json", "--job", "jobs/job.json")]
    [InlineData("evaluate", "jobs/job.json", "--job", "jobs/job.json")]
    [InlineData("evaluate", "jobs/job.json", "--job", "jobs/broken.json")]
    [InlineData("check", "missing.json")]
    public async Task Command_WrongInput_IsAFaultWithItsPlace(params string[] args)
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job());
        desk.Write("jobs/broken.json", "{ \"format\": \"job/1\", ");

        (int exit, string output, string error) = await Cli.Run(desk.Root, args);

        Assert.Equal(1, exit);
        Assert.Contains("found ", error, StringComparison.Ordinal);
        Assert.Contains("allowed: ", error, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", output + error, StringComparison.Ordinal);
        Assert.DoesNotContain("Exception", output + error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("solve")]
    [InlineData("solve", "jobs/job.json", "--threads", "0")]
    [InlineData("solve", "jobs/job.json", "--evaluations", "-3")]
    [InlineData("solve", "jobs/job.json", "--evaluations", "many")]
    [InlineData("solve", "jobs/job.json", "--seed", "-1")]
    [InlineData("evaluate", "b.json", "--job", "jobs/job.json", "--hz", "500", "100")]
    [InlineData("evaluate", "b.json")]
    [InlineData("serve", "--urls", "nonsense")]
    [InlineData("serve", "--runs", "0")]
    [InlineData("solv", "jobs/job.json")]
    [InlineData("check")]
    public async Task Command_WrongCommandLine_IsToldFromFailedWork(params string[] args)
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job());

        (int exit, string output, string error) = await Cli.Run(desk.Root, args);

        Assert.Equal(1, exit);
        Assert.NotEmpty(error);
        Assert.DoesNotContain("   at ", output + error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Solve_PlaceToWriteIsTaken_FailsInOneLineBeforeTheWork()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job(Desk.Endless));
        desk.Write("o", "a file");

        (int exit, _, string error) = await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");

        Assert.Equal(2, exit);
        Assert.Single(error.TrimEnd('\n').Split('\n'));
    }
}
