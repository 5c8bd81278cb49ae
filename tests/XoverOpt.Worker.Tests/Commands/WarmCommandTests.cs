using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Commands;

/// <summary>Warm searches, changes and reproduction on folders, as a shell runs them.</summary>
public sealed class WarmCommandTests : IDisposable
{
    private readonly Desk _desk = new();

    public void Dispose() => _desk.Dispose();

    [Fact]
    public async Task SolveWarm_AfterTheDrawerChanged_AndChanges_TellTheStory()
    {
        _desk.Write("jobs/job.json", Desk.Job());
        await Good("solve", "jobs/job.json", "--out", "o");
        _desk.Write("driverlib/stock.json", _desk.Read("driverlib/stock.json").Replace("\"HI-1\"", "\"HI-3\"", StringComparison.Ordinal));

        await Good("solve", "jobs/job.json", "--warm", "o", "--out", "w", "--evaluations", "4000");

        Assert.All(_desk.Builds("w"), build => Assert.DoesNotContain("\"HI-1\"", build, StringComparison.Ordinal));
        string words = await Good("changes", "o", "w");
        Assert.Contains("the receiver HI-3 is new", words, StringComparison.Ordinal);
        Assert.Contains("The receiver HI-1 is no longer in the drawer.", words, StringComparison.Ordinal);
        Assert.All(words.Split('\n'), line => Assert.True(line.Length <= 100, line));
        JsonNode json = JsonNode.Parse(await Good("changes", "o", "w", "--json"))!;
        Assert.Equal("o", (string?)json["old"]!["label"]);

        foreach (string folder in new[] { "o", "w" })
        {
            Assert.Contains("byte for byte", await Good("reproduce", folder, "--out", folder + "2"), StringComparison.Ordinal);
            Assert.Equal(_desk.Builds(folder), _desk.Builds(folder + "2"));
        }
    }

    [Fact]
    public async Task Reproduce_OfBuildsThatWereChanged_SaysSo()
    {
        _desk.Write("jobs/job.json", Desk.Job(3000));
        await Good("solve", "jobs/job.json", "--out", "o");
        _desk.Write("o/builds/01.json", _desk.Read("o/builds/01.json").Replace("\"rank\": 1", "\"rank\": 7", StringComparison.Ordinal));

        (int exit, _, string error) = await Cli.Run(_desk.Root, "reproduce", "o");

        Assert.Equal(2, exit);
        Assert.Contains("builds are the same", error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("solve", "jobs/job.json", "--warm", "nowhere")]
    [InlineData("changes", "nowhere", "jobs")]
    [InlineData("reproduce", "jobs")]
    public async Task Folder_WithoutARun_IsRefused(params string[] command)
    {
        _desk.Write("jobs/job.json", Desk.Job(3000));

        (int exit, _, string error) = await Cli.Run(_desk.Root, command);

        Assert.Equal(1, exit);
        Assert.Contains("a folder that solve wrote", error, StringComparison.Ordinal);
    }

    private async Task<string> Good(params string[] command)
    {
        (int exit, string output, string error) = await Cli.Run(_desk.Root, command);
        Assert.True(exit == 0, $"{string.Join(' ', command)}: {error}");
        return output;
    }
}
