using System.Globalization;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Commands;

public sealed class PurchasingCommandTests : IDisposable
{
    private static readonly string[] Build = ["b.json", "--job", "jobs/job.json"];

    private readonly Desk _desk = new();

    public PurchasingCommandTests()
    {
        _desk.Write("b.json", Paper.Build);
        _desk.Write("jobs/job.json", Desk.Job());
        _desk.Write("counts.csv", Paper.Counts);
    }

    public void Dispose() => _desk.Dispose();

    /// <summary>By hand for 25 sets: LO-1 100 needed, 64 there, 36 short: 4 packs of 10 at the 9.10 from 40 on are 364.00. Nothing else is short.</summary>
    [Fact]
    public async Task Parts_OfABuild_AnswersTheQuestionAndListsTheOrder()
    {
        await Good("stock", "import", "counts.csv", "--by", "Anna");
        string[] asked = [.. Build, "--sets", "25", "--order-on", "2031-03-03"];

        (int inTime, string yes, string error) = await Cli.Run(_desk.Root, ["parts", .. asked, "--by", "2031-03-13", "--csv", "out/order.csv", "--decimal", "comma"]);
        (int late, string no, _) = await Cli.Run(_desk.Root, ["parts", .. asked, "--by", "2031-03-12"]);
        (_, string json, _) = await Cli.Run(_desk.Root, ["parts", .. asked, "--json"]);

        Assert.True(inTime == 0, yes + error);
        Assert.Contains("Yes, if the order goes out by 2031-03-03: ordered on 2031-03-03, the last part, LO-1, arrives on 2031-03-13. From what is there today 16 sets can be built.", yes, StringComparison.Ordinal);
        Assert.Contains("to order          364.00 EUR for 1 of 7 parts", yes, StringComparison.Ordinal);
        Assert.Equal(2, late);
        Assert.Contains("No: LO-1 arrives on 2031-03-13, 1 day late.", no, StringComparison.Ordinal);

        JsonNode list = JsonNode.Parse(json)!["parts"]!;
        JsonNode low = list["lines"]!.AsArray().Single(line => (string?)line!["part"] == "LO-1")!;
        Assert.Equal((100m, 36m, 4, 364.00m, true), ((decimal)low["need"]!, (decimal)low["shortage"]!, (int)low["packs"]!, (decimal)low["orderPrice"]!, (bool)low["holdsUp"]!));
        // 100 × 9.10, 50 × 9.80, 50 + 50 dampers × 0.50, 50 × (11 + 10) mm × 3 = 3.15, 100 resistors × 0.03.
        Assert.Equal(910m + 490m + 50m + 3.15m + 3m, (decimal)list["useTotal"]!);
        Assert.Equal(58.25m, (decimal)list["costPerSet"]!);

        string sheet = _desk.Read("out/order.csv");
        Assert.Contains("receiver;LO-1;Ostrel (invented);low;2;pieces;100;64;0;0;64;36;4;10;40;9,1;364;910;10;2031-03-13;yes", sheet, StringComparison.Ordinal);
        Assert.Contains("total;25 sets;", sheet, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--sets", "0")]
    [InlineData("--by", "15.12.2026")]
    [InlineData("--run", "x")]
    [InlineData("--decimal", "dot")]
    public async Task Parts_WrongOption_IsRefused(string option, string value)
    {
        (int exit, _, string error) = await Cli.Run(_desk.Root, ["parts", .. Build, option, value]);

        Assert.Equal(1, exit);
        Assert.Contains("allowed:", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Stock_OutAndInAgain_ReserveAndRelease_AreInTheHistory()
    {
        string catalogue = _desk.Read("driverlib/stock.json");
        Assert.Contains("would change; nothing was written", await Good("stock", "import", "counts.csv", "--by", "Anna", "--dry-run"), StringComparison.Ordinal);
        await Good("stock", "import", "counts.csv", "--by", "Anna");
        await Good("stock", "export", "--csv", "stock.csv", "--decimal", "comma");
        Assert.Equal("nothing changes\n", await Good("stock", "import", "stock.csv", "--by", "Ben"));

        string reserved = await Good(["stock", "reserve", .. Build, "--sets", "10", "--by", "Ben"]);
        Assert.StartsWith("r2, 10 sets of build 2 of Small two-way, by Ben", reserved, StringComparison.Ordinal);
        (int more, _, string shortage) = await Cli.Run(_desk.Root, ["stock", "reserve", .. Build, "--sets", "7", "--by", "Cleo"]);
        Assert.Equal(1, more);
        Assert.Contains("LO-1: found 24 pieces to be had, 28 needed", shortage, StringComparison.Ordinal);
        Assert.Contains("set aside: r2", await Good("stock", "export"), StringComparison.Ordinal);

        await Good("stock", "release", "r2", "--by", "Ben", "--built");
        (int gone, _, _) = await Cli.Run(_desk.Root, "stock", "release", "r2", "--by", "Ben");
        string history = await Good("stock", "history", "--part", "LO-1");
        Assert.Equal(1, gone);
        Assert.Contains("Anna: import", history, StringComparison.Ordinal);
        Assert.Contains("Ben: built r2: 10 sets of build 2 of Small two-way", history, StringComparison.Ordinal);
        Assert.Matches(@"LO-1\s+stock\s+64\s+24", history);
        Assert.Equal(catalogue, _desk.Read("driverlib/stock.json"));
        Assert.Equal(0, (await Cli.Run(_desk.Root, "check", "driverlib", "driverlib/stock-book.json")).Exit);
    }

    [Fact]
    public async Task Stock_WrongSheet_TellsEveryFaultAndWritesNothing()
    {
        _desk.Write("bad.csv", "part,stock\nLO-1,7\nLO-2,1\nHI-1,-4\n");

        (int exit, _, string error) = await Cli.Run(_desk.Root, "stock", "import", "bad.csv", "--by", "Anna");

        Assert.Equal(1, exit);
        Assert.Contains("bad.csv at line 3, column 1 (part): found \"LO-2\"", error, StringComparison.Ordinal);
        Assert.Contains("bad.csv at line 4, column 2 (stock): found \"-4\"", error, StringComparison.Ordinal);
        Assert.False(File.Exists(Path.Combine(_desk.Inventory, "stock-book.json")));
    }

    /// <summary>Real processes, all started before any has ended, each with a part of its own.</summary>
    [Fact]
    public async Task Stock_ImportsByProcessesAtOnce_LoseNothing()
    {
        string[] parts = ["LO-1", "HI-1", "HI-2", "D10"];
        Cli[] imports = [.. parts.Select((part, k) =>
        {
            string sheet = string.Create(CultureInfo.InvariantCulture, $"{k}.csv");
            _desk.Write(sheet, string.Create(CultureInfo.InvariantCulture, $"part,stock\n{part},{700 + k}\n"));
            return Cli.Start(_desk.Root, "stock", "import", sheet, "--by", $"hand {sheet}");
        })];
        foreach (Cli import in imports)
        {
            Assert.True(await import.Exit() == 0, import.Error);
            import.Dispose();
        }

        string stock = await Good("stock", "export");
        Assert.All(parts.Select((part, k) => (part, k)), one => Assert.Matches(string.Create(CultureInfo.InvariantCulture, $@"(?m)^{one.part}\s.*\s{700 + one.k}\s"), stock));
        Assert.Equal(4, JsonNode.Parse(await Good("stock", "history", "--json"))!.AsArray().Select(made => (long)made!["revision"]!).Distinct().Count());
    }

    [Fact]
    public async Task BenchPlan_OfTwoBuilds_SharesPacksAndSaysWhatCanBeBuiltToday()
    {
        await Good("stock", "import", "counts.csv", "--by", "Anna");
        _desk.Write("c.json", Paper.Build.Replace("\"count\": 2", "\"count\": 1", StringComparison.Ordinal).Replace("\"rank\": 2", "\"rank\": 3", StringComparison.Ordinal));
        _desk.Write("plan.json", """
            { "format": "bench-plan/1", "name": "Tour", "builds": [ { "build": "b.json", "job": "jobs/job.json", "sets": 12 }, { "build": "c.json", "job": "jobs/job.json", "sets": 20 } ] }
            """);

        string text = await Good("bench-plan", "plan.json");
        (int wrong, _, string error) = await Cli.Run(_desk.Root, "bench-plan", "b.json");

        // LO-1: 48 and 40 of 64: 24 short, 30 ordered at 9.80. Of 64, 20 sets of two leave 24 for 6 sets of four.
        Assert.Contains("LO-1 is fought for: 64 to be had, 88 needed (build 2 of Small two-way 48, build 3 of Small two-way 40)", text, StringComparison.Ordinal);
        Assert.Contains("The mix, 26 sets from what is there today: CP-SAT of OR-Tools", text, StringComparison.Ordinal);
        Assert.Contains("to order          294.00 EUR for 1 of 7 parts", text, StringComparison.Ordinal);
        Assert.Equal(1, wrong);
        Assert.Contains("bench-plan/1", error, StringComparison.Ordinal);
    }

    private async Task<string> Good(params string[] args)
    {
        (int exit, string output, string error) = await Cli.Run(_desk.Root, args);
        Assert.True(exit == 0, output + error);
        return output;
    }
}
