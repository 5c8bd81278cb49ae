using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Commands;

/// <summary>The commands levels, sources and ears.</summary>
public sealed class AnalysisCommandTests : IAsyncLifetime
{
    private readonly Desk _desk = new();

    public async ValueTask InitializeAsync()
    {
        _desk.Write("jobs/job.json", Desk.Job());
        (int exit, _, string error) = await Cli.Run(_desk.Root, "solve", "jobs/job.json", "--out", "o");
        Assert.True(exit == 0, error);
    }

    public ValueTask DisposeAsync()
    {
        _desk.Dispose();
        return ValueTask.CompletedTask;
    }

    [Theory]
    [InlineData("levels", "Room at the desk above 95 dB", "NIOSH")]
    [InlineData("sources", "To keep within 1 dB", "120 Ω")]
    [InlineData("ears", "Movement, least first", "mouth open, canal widens")]
    public async Task Text_OfTwoBuilds_HasBothAndTheCautionAndFitsAHundredColumns(string command, string first, string second)
    {
        (int exit, string output, string error) = await Cli.Run(_desk.Root, command, "o/builds/01.json", "o/builds/02.json", "--job", "jobs/job.json");

        Assert.True(exit == 0, error);
        Assert.Contains("o/builds/02.json: low", output, StringComparison.Ordinal);
        Assert.Contains(first, output, StringComparison.Ordinal);
        Assert.Matches(second, output);
        Assert.Contains("injures hearing", output, StringComparison.Ordinal);
        Assert.Contains("no source", output.Replace('\n', ' '), StringComparison.Ordinal);
        Assert.All(output.Split('\n'), line => Assert.True(line.Length <= 100, line));
    }

    [Fact]
    public async Task Levels_AsJson_FollowTheOptions()
    {
        (int exit, string output, string error) = await Cli.Run(
            _desk.Root, "levels", "o/builds/01.json", "--job", "jobs/job.json", "--json", "--pack-max-volt", "0.5", "--pack-ohm", "10", "--desk-dbu", "4", "--field", "free");

        Assert.True(exit == 0, error);
        JsonNode result = JsonNode.Parse(output)![0]!["result"]!;
        Assert.Equal((0.5, 10.0), ((double)result["chain"]!["packMaxVolt"]!, (double)result["chain"]!["packOhm"]!));
        Assert.Equal(500 * Math.Pow(10, (4 - 18) / 20.0), (double)result["exposures"]![0]!["millivolt"]!, 1e-9);
    }

    [Fact]
    public async Task Levels_WithWrongOptions_AreRefusedWithWhatIsAllowed()
    {
        (int exit, _, string error) = await Cli.Run(_desk.Root, "levels", "o/builds/01.json", "--job", "jobs/job.json", "--pack-ohm", "-4", "--field", "near");
        (int missing, _, string where) = await Cli.Run(_desk.Root, "ears", "o/builds/77.json", "--job", "jobs/job.json");

        Assert.Equal((1, 1), (exit, missing));
        Assert.Contains("--pack-ohm: found -4; allowed: a number from 0 Ω to 1000 Ω", error, StringComparison.Ordinal);
        Assert.Contains("--field: found near; allowed: diffuse or free", error, StringComparison.Ordinal);
        Assert.Contains("77.json", where, StringComparison.Ordinal);
    }
}
