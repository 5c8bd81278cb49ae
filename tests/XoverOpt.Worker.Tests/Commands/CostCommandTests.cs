using System.Globalization;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Commands;

public sealed class CostCommandTests
{
    /// <summary>A two-way job whose ranges are all stated, so that places on the unit interval can be worked out here.</summary>
    private static string Job(string limits = "{}") => $$"""
        { "format": "job/1", "name": "Two-way", "inventory": "../driverlib",
          "target": { "bandHz": [40, 12000], "toleranceDb": 8, "points": [ { "hz": 40, "db": 4 }, { "hz": 160, "db": 0 }, { "hz": 2800, "db": 6 }, { "hz": 12000, "db": 0 } ] },
          "ways": [ { "name": "low", "receivers": { "tags": ["low"] }, "counts": [1, 2], "wiring": ["parallel"], "polarity": ["normal"],
                      "networks": [ ["series-resistor"] ], "tube": { "boresMm": [1.5], "lengthMm": [8, 20] }, "dampersOhmCgs": [330, 1000, 2200] },
                    { "name": "high", "receivers": { "tags": ["high"] }, "counts": [1], "wiring": ["parallel"], "polarity": ["normal", "inverted"],
                      "networks": [ ["series-resistor", "series-capacitor"], ["series-resistor"] ],
                      "tube": { "boresMm": [1.5], "lengthMm": [8, 20] }, "dampersOhmCgs": [330, 1000, 2200] } ],
          "limits": {{limits}},
          "passives": { "resistors": { "series": "E12", "minOhm": 10, "maxOhm": 330 }, "capacitors": { "series": "E6", "minMicrofarad": 0.47, "maxMicrofarad": 10 }, "coils": "none" },
          "effort": { "evaluations": 3000, "seed": 5, "keep": 4 } }
        """;

    [Fact]
    public async Task Cost_BuildsOfASearch_IsTheCostThatEvaluateGivesThem()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Job("""{ "minPeakSpl": [ { "hz": 50, "db": 135 } ] }"""));
        await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");
        string[] builds = desk.Builds("o");
        using CostProcess cost = new(desk.Root, "jobs/job.json", "--grid", "24", "--real");
        JsonNode header = JsonNode.Parse((await cost.Ask("?"))[0])!;
        string[] names = [.. header["names"]!.AsArray().Select(name => (string)name!)];
        int[] choices = [.. header["choices"]!.AsArray().Select(count => (int)count!)];

        Assert.Equal(names.Length, (int)header["values"]!);
        Assert.Equal((24, 336), ((int)header["pointsPerOctave"]!, (int)header["frequencies"]!));
        Assert.Equal(
            ["low.count", "high.receiver", "high.polarity", "high.network", "low.damper", "low.resistor1", "low.tubeLength", "high.capacitor1", "high.damper", "high.resistor1", "high.tubeLength"],
            names.Take(4).Concat(names.Skip(4).Order(StringComparer.Ordinal).OrderBy(name => name.StartsWith("high", StringComparison.Ordinal))));
        Assert.NotEmpty(builds);
        foreach (string build in builds)
        {
            double total = (double)JsonNode.Parse(build)!["cost"]!["total"]!;
            string answer = (await cost.Ask(Line(names.Select((name, i) => Place(JsonNode.Parse(build)!, name, choices[i])))))[0];

            Assert.Equal(total.ToString("R", CultureInfo.InvariantCulture), answer);
        }
    }

    [Fact]
    public async Task Cost_OfOneLayoutAndOfTheWholeJob_AreTheSame()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Job());
        using CostProcess whole = new(desk.Root, "jobs/job.json");
        string[] all = [.. JsonNode.Parse((await whole.Ask("?"))[0])!["names"]!.AsArray().Select(name => (string)name!)];
        var seen = new HashSet<string>();
        for (int n = 0; n < 16; n++)
        {
            using CostProcess one = new(desk.Root, "jobs/job.json", "--layout", n.ToString(CultureInfo.InvariantCulture));
            JsonNode header = JsonNode.Parse((await one.Ask("?"))[0])!;
            string words = (string)header["layout"]!;
            string[] names = [.. header["names"]!.AsArray().Select(name => (string)name!)];
            double Value(string name) => name switch
            {
                "low.count" => words.Contains("low: 2 ×", StringComparison.Ordinal) ? 0.9 : 0.1,
                "high.receiver" => words.Contains("HI-2", StringComparison.Ordinal) ? 0.9 : 0.1,
                "high.polarity" => words.Contains("turned over", StringComparison.Ordinal) ? 0.9 : 0.1,
                "high.network" => words.Contains("series-capacitor", StringComparison.Ordinal) ? 0.1 : 0.9,
                _ => 0.1 + (0.7 * (name.Length % 7) / 7.0),
            };

            Assert.Equal(await whole.Ask(Line(all.Select(Value))), await one.Ask(Line(names.Select(Value))));
            seen.Add(words);
        }

        Assert.Equal(16, seen.Count);
    }

    [Fact]
    public async Task Cost_BadLines_AreAnsweredInPlaceAndTheRestGoesOn()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Job());
        using CostProcess cost = new(desk.Root, "jobs/job.json", "--layout", "0");
        int count = (int)JsonNode.Parse((await cost.Ask("?"))[0])!["values"]!;
        string good = Line(Enumerable.Repeat(0.5, count)), rest = Line(Enumerable.Repeat(0.5, count - 1));

        string[] answers = await cost.Ask(
            good, rest, good + " 0.5", "half " + rest, "1.0001 " + rest, "-0.1 " + rest, "NaN " + rest, "", good.Replace(' ', ','),
            "  " + good.Replace(" ", " \t", StringComparison.Ordinal) + "\r", new string('7', 2_000_000), good, "?");
        (int exit, string output, string error) = await cost.End(good);

        string value = answers[0];
        Assert.True(double.Parse(value, CultureInfo.InvariantCulture) > 0);
        Assert.All([1, 2, 3, 4, 5, 6, 7, 10], i => Assert.StartsWith("error: ", answers[i], StringComparison.Ordinal));
        Assert.Contains($"found {count - 1} values; a line must hold {count}", answers[1], StringComparison.Ordinal);
        Assert.Contains("\"half\"", answers[3], StringComparison.Ordinal);
        Assert.Contains("value 1 is 1.0001", answers[4], StringComparison.Ordinal);
        Assert.All([8, 9, 11], i => Assert.Equal(value, answers[i]));
        Assert.StartsWith("{", answers[12], StringComparison.Ordinal);
        Assert.Equal((0, value + "\n", ""), (exit, output, error));
    }

    [Fact]
    public async Task Cost_ManyLinesAtOnce_AreTheBitsOfOneAtATime()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Job());
        using CostProcess cost = new(desk.Root, "jobs/job.json");
        int count = (int)JsonNode.Parse((await cost.Ask("?"))[0])!["values"]!;
        string[] lines = [.. Enumerable.Range(0, 1500).Select(i => Line(Enumerable.Range(0, count).Select(q => ((i * 31) + (q * 17)) % 101 / 100.0)))];

        string[] together = await cost.Ask(lines);

        Assert.All(together, answer => Assert.True(double.TryParse(answer, CultureInfo.InvariantCulture, out _), answer));
        for (int i = lines.Length - 1; i >= 0; i -= 97)
        {
            Assert.Equal(together[i], (await cost.Ask(lines[i]))[0]);
        }
    }

    [Theory]
    [InlineData("{}", """{ "maxReceivers": 2 }""", 0.5)]
    [InlineData("{}", """{ "maxPartsCost": 20 }""", 0.47)]
    [InlineData("{}", """{ "shellVolumeMm3": 200 }""", 0.44)]
    [InlineData("""{ "stockOnly": true, "sets": 30 }""", """{ "stockOnly": true, "sets": 31 }""", 4 / 124.0)]
    public async Task Cost_LayoutThatBreaksALimit_CostsAThousandAndItsExcessMore(string kept, string broken, double excess)
    {
        using Desk desk = new();
        desk.Write("driverlib/stock.json", desk.Read("driverlib/stock.json").Replace("\"currency\": \"EUR\" }", "\"currency\": \"EUR\", \"stock\": 100000 }", StringComparison.Ordinal));
        desk.Write("jobs/free.json", Job(kept));
        desk.Write("jobs/bound.json", Job(broken));
        string two = Line(Enumerable.Repeat(0.9, 11)), one = Line(Enumerable.Repeat(0.9, 11).Prepend(0.1).Take(11));

        using CostProcess free = new(desk.Root, "jobs/free.json"), bound = new(desk.Root, "jobs/bound.json");
        double[] open = [.. (await free.Ask(two, one)).Select(Number)], closed = [.. (await bound.Ask(two, one)).Select(Number)];

        Assert.Equal(1000 * (1 + excess), closed[0] - open[0], 1e-6);
        Assert.Equal(open[1], closed[1]);
    }

    [Theory]
    [InlineData("--layout", "16")]
    [InlineData("--layout", "-1")]
    [InlineData("--grid", "7")]
    public async Task Cost_OptionOutOfRange_IsRefusedWithWhatIsAllowed(string option, string value)
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Job());

        (int exit, _, string error) = await Cli.Run(desk.Root, "cost", "jobs/job.json", option, value);

        Assert.Equal(1, exit);
        Assert.Contains(option, error, StringComparison.Ordinal);
        Assert.Contains("allowed:", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Help_OfCost_HasExamplesAndExitCodes()
    {
        (int exit, string output, _) = await Cli.Run(AppContext.BaseDirectory, "cost", "--help");

        Assert.Equal(0, exit);
        Assert.Contains("Examples:", output, StringComparison.Ordinal);
        Assert.Contains("Exit codes:", output, StringComparison.Ordinal);
    }

    private static string Line(IEnumerable<double> values) => string.Join(' ', values.Select(value => value.ToString("R", CultureInfo.InvariantCulture)));

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    /// <summary>Where a build file's value stands on the unit interval, by the scales the command states; 0.3 for what the build has not.</summary>
    private static double Place(JsonNode build, string name, int choices)
    {
        string[] words = name.Split('.');
        JsonNode way = build["ways"]!.AsArray().Single(way => (string?)way!["name"] == words[0])!;
        JsonArray network = way["network"]!.AsArray();
        double Log(string kind, string unit, double low, double high) =>
            network.FirstOrDefault(section => (string?)section!["kind"] == kind) is { } part ? Math.Log((double)part[unit]! / low) / Math.Log(high / low) : 0.3;
        double Damper(double ohm) => Math.Log(1 + (ohm / 300));
        double Choice(bool second) => ((second ? 1 : 0) + 0.5) / choices;
        return words[1] switch
        {
            "count" => Choice((int)way["count"]! == 2),
            "receiver" => Choice((string?)way["receiver"] == "HI-2"),
            "polarity" => Choice((string?)way["polarity"] == "inverted"),
            "network" => Choice(network.Count == 1),
            "resistor1" => Log("resistor", "ohm", 10, 330),
            "capacitor1" => Log("capacitor", "microfarad", 0.47, 10),
            "damper" => (Damper((double)way["damperOhmCgs"]!) - Damper(330)) / (Damper(2200) - Damper(330)),
            "tubeLength" => ((double)way["tube"]![0]!["lengthMm"]! - 8) / 12,
            _ => throw new ArgumentException(name),
        };
    }
}
