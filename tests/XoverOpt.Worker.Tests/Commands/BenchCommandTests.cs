using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Commands;

public sealed class BenchCommandTests
{
    private static readonly string[] OfBuild = ["--build", "o/builds/01.json", "--job", "jobs/job.json"];

    [Fact]
    public async Task Inspect_UnitsInOrderAndWithLeadsTurnedOver_SaysWhich()
    {
        using Desk desk = await Solved();
        desk.Write("turned.json", BenchCurve.Turned(desk.Builds("o")[0], 1));
        (_, string turned, _) = await Cli.Run(desk.Root, "evaluate", "turned.json", "--job", "jobs/job.json", "--json");
        desk.Write("good.csv", BenchCurve.Csv(desk.Builds("o")[0]));
        desk.Write("bad.csv", BenchCurve.Csv(turned));

        (int good, string order, string error) = await Cli.Run(desk.Root, ["inspect", "good.csv", .. OfBuild]);
        (int bad, string fault, _) = await Cli.Run(desk.Root, ["inspect", "bad.csv", .. OfBuild]);
        (_, string json, _) = await Cli.Run(desk.Root, ["inspect", "bad.csv", .. OfBuild, "--json"]);

        Assert.True(good == 0, order + error);
        Assert.Contains("PASS", order, StringComparison.Ordinal);
        Assert.Contains("No fault found", order, StringComparison.Ordinal);
        Assert.Equal(2, bad);
        Assert.Contains("FAIL", fault, StringComparison.Ordinal);
        // Of two ways, level and impedance are the same whichever is turned over: both must be named.
        Assert.Contains("Likely fault: the leads of the ", fault, StringComparison.Ordinal);
        Assert.Contains("The data cannot tell it from: the leads of the ", fault, StringComparison.Ordinal);
        Assert.Contains("injures hearing", fault, StringComparison.Ordinal);
        Assert.Equal(["high", "low"], JsonNode.Parse(json)!["stories"]!.AsArray().Take(2).Where(story => (string?)story!["kind"] == "leadsTurned").Select(story => (string)story!["place"]!).Order(StringComparer.Ordinal));
    }

    [Fact]
    public async Task Inspect_AgainstALimitsFile_PassesOrFailsByIt()
    {
        using Desk desk = await Solved();
        desk.Write("good.csv", BenchCurve.Csv(desk.Builds("o")[0], impedance: false));
        desk.Write("wide.csv", "hz,expected_db,low_db,high_db\n100,90,20,150\n10000,90,20,150\n");
        desk.Write("tight.csv", "hz,expected_db,low_db,high_db\n100,90,149,150\n1000,90,149,150\n");

        (int wide, string passes, _) = await Cli.Run(desk.Root, ["inspect", "good.csv", .. OfBuild, "--limits", "wide.csv"]);
        (int tight, string fails, _) = await Cli.Run(desk.Root, ["inspect", "good.csv", .. OfBuild, "--limits", "tight.csv"]);

        desk.Write("both.csv", BenchCurve.Csv(desk.Builds("o")[0]));
        desk.Write("ohm.csv", "hz,expected_db,low_db,high_db,expected_ohm,low_ohm,high_ohm\n100,90,20,150,1,1,2\n1000,90,20,150,1,1,2\n");
        (int unmeasured, string silent, _) = await Cli.Run(desk.Root, ["inspect", "good.csv", .. OfBuild, "--limits", "ohm.csv"]);
        (int ohm, string impedance, _) = await Cli.Run(desk.Root, ["inspect", "both.csv", .. OfBuild, "--limits", "ohm.csv"]);

        Assert.Equal((0, 2), (wide, tight));
        Assert.Equal((0, 2), (unmeasured, ohm));
        Assert.Contains("its limits were not applied", Unwrapped(silent), StringComparison.Ordinal);
        Assert.Contains("impedances lie outside the limits", Unwrapped(impedance), StringComparison.Ordinal);
        Assert.Contains("Measure the impedance too", Unwrapped(passes), StringComparison.Ordinal);
        Assert.Contains("FAIL", fails, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Inspect_WrongFiles_TellsTheFaultsOfAll()
    {
        using Desk desk = await Solved();
        desk.Write("curve.csv", "hz,spl_db\n100,90\n1000,loud\n");
        desk.Write("impedance.csv", "hz,impedance_ohm\n100,30\n1000,31\n");
        desk.Write("limits.csv", "hz,expected_db,low_db,high_db\n100,90,95,85\n50,90,80,x\n");

        (int exit, _, string error) = await Cli.Run(desk.Root, ["inspect", "curve.csv", .. OfBuild, "--limits", "limits.csv"]);
        (_, _, string noLevel) = await Cli.Run(desk.Root, ["inspect", "impedance.csv", .. OfBuild]);

        Assert.Equal(1, exit);
        Assert.Contains("\"loud\" in line 3, column 2 (spl_db)", error, StringComparison.Ordinal);
        Assert.Contains("lowDb 95 above highDb 85 in line 2", error, StringComparison.Ordinal);
        Assert.Contains("\"x\" in line 3, column 4 (highDb)", error, StringComparison.Ordinal);
        Assert.Contains("no level", noLevel, StringComparison.Ordinal);
        Assert.Contains("twelfth of an octave", noLevel, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Pairs_WithAndWithoutABuild_PrintsPairsAndWhatIsLeft()
    {
        using Desk desk = await Solved();
        desk.Write("lot.csv", BenchCurve.Serials());

        (int exit, string pairs, string error) = await Cli.Run(desk.Root, "pairs", "lot.csv", "--limit-db", "0.5");
        (_, string sets, _) = await Cli.Run(desk.Root, ["pairs", "lot.csv", .. OfBuild, "--sets", "2", "--limit-db", "2"]);
        (int few, _, _) = await Cli.Run(desk.Root, ["pairs", "lot.csv", .. OfBuild, "--sets", "9"]);

        Assert.True(exit == 0, error);
        Assert.Contains("within 0.5 dB", pairs, StringComparison.Ordinal);
        Assert.Contains("LO-1", pairs, StringComparison.Ordinal);
        Assert.Contains("2 sets within 2 dB", sets, StringComparison.Ordinal);
        Assert.Contains("left over", sets, StringComparison.Ordinal);
        Assert.Equal(2, few);
    }

    [Fact]
    public async Task Pairs_WrongInput_IsRefused()
    {
        using Desk desk = new();
        desk.Write("lot.csv", "serial,part_number,sensitivity_db,resonance_hz,dc_resistance_ohm\nA,LO-1,x,2.7,38\n");

        (int exit, _, string error) = await Cli.Run(desk.Root, "pairs", "lot.csv");
        (int half, _, string alone) = await Cli.Run(desk.Root, "pairs", "lot.csv", "--build", "b.json");

        Assert.Equal((1, 1), (exit, half));
        Assert.Contains("line 2, column 3 (sensitivity_db)", error, StringComparison.Ordinal);
        Assert.Contains("looks like kHz", error, StringComparison.Ordinal);
        Assert.Contains("both or neither", alone, StringComparison.Ordinal);
    }

    /// <summary>A desk with a small job solved; the build's receivers are LO-1 and HI-1 or HI-2.</summary>
    private static async Task<Desk> Solved()
    {
        Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job().Replace("{ \"tags\": [\"high\"] }", "{ \"partNumbers\": [\"HI-1\"] }", StringComparison.Ordinal));
        (int exit, _, string error) = await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");
        Assert.True(exit == 0, error);
        return desk;
    }

    private static string Unwrapped(string text) => string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
}
