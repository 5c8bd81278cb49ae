using System.Globalization;
using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Workshop.Changes;

namespace XoverOpt.Workshop.Tests.Changes;

/// <summary>Planted pairs of runs, of which is known what became of each build and why.</summary>
public sealed class RunChangesTests
{
    private static readonly string[] Receivers = ["LO-1", "LO-2", "HI-1", "HI-2", "HI-4"];

    private static readonly RunChanges Planted = Between(
        Job(Drawer(Receivers), "[1, 2, 4]", 60),
        [Build("LO-1", 1, "HI-1"), Build("LO-2", 1, "HI-2"), Build("LO-1", 4, "HI-2"), Build("LO-1", 2, "HI-2"), Build("LO-1", 1, "HI-4"), Build("LO-1", 1, "HI-2"), Build("LO-1", 2, "HI-2", "series")],
        Job(
            Drawer([.. Receivers.Except(["HI-1"]), "HI-3"], new()
            {
                ["LO-2"] = """{ "unitPrice": 9.80, "currency": "EUR", "stock": 0 }""",
                ["HI-4"] = """{ "unitPrice": 55, "currency": "EUR", "stock": 120 }""",
            }),
            "[1, 2]",
            60),
        [Build("LO-1", 2, "HI-2"), Build("LO-1", 1, "HI-3"), Build("LO-1", 2, "HI-2", "series", 11)]);

    [Theory]
    [InlineData(1, ReasonKind.PartGone, "the receiver HI-1 is no longer in the drawer", "HI-1")]
    [InlineData(2, ReasonKind.Stock, "LO-2 is short: 2 needed for 1 sets, 0 in stock", "LO-2")]
    [InlineData(3, ReasonKind.Choices, "the job no longer allows 4 receivers in the way low", null)]
    public void Builds_ThatWent_NameTheirOneReason(int rank, ReasonKind kind, string words, string? part)
    {
        BuildChange build = Old(rank);

        Assert.Equal((BuildFate.Died, (int?)null), (build.Fate, build.NewRank));
        Assert.Equal(new Reason(kind, words, part), Assert.Single(build.Why));
    }

    [Fact]
    public void Build_TooDearByAPrice_NamesTheLimitAndThePrice()
    {
        BuildChange build = Old(5);

        Assert.Equal(BuildFate.Died, build.Fate);
        Assert.Equal([ReasonKind.Limits, ReasonKind.Price], build.Why.Select(reason => reason.Kind));
        Assert.Contains("parts cost 64.8", build.Why[0].Words, StringComparison.Ordinal);
        Assert.Contains("at most 60", build.Why[0].Words, StringComparison.Ordinal);
        Assert.Equal("HI-4 costs 55.00 EUR instead of 9.80", build.Why[1].Words);
    }

    [Fact]
    public void Build_ThatCouldStillBeMade_IsJudgedAnewAndSaidWhereItWouldStand()
    {
        BuildChange build = Old(6);
        Reason why = Assert.Single(build.Why);
        int before = Planted.Builds.Where(other => other.NewRank is not null).Count(other => (other.Now!.Feasible, -other.Now.Cost).CompareTo((build.Now!.Feasible, -build.Now.Cost)) > 0);

        Assert.Equal(build.Old, build.Now);
        Assert.Equal(ReasonKind.Search, why.Kind);
        Assert.Contains(build.Now!.Cost.ToString("0.0000", CultureInfo.InvariantCulture), why.Words, StringComparison.Ordinal);
        Assert.EndsWith($"would stand at rank {before + 1}; this search did not find it again", why.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void Build_ThatOthersBeat_SaysSoAndWhatItCosts()
    {
        string job = Job(Drawer(Receivers), "[1, 2]", 60, keep: 1);
        string[] both = [Build("LO-1", 1, "HI-2"), Build("LO-1", 2, "HI-4")];
        int best = Between(job, both, job, both).Builds.Select((build, at) => (build.Now!.Cost, at)).Min().at;
        BuildChange beaten = Between(job, both, job, [both[best]]).Builds.Single(build => build.Fate == BuildFate.Died);
        Reason why = Assert.Single(beaten.Why);

        Assert.Equal((ReasonKind.Beaten, 2 - best), (why.Kind, beaten.OldRank));
        Assert.StartsWith("it can still be built, but the 1 build kept is better; it stands at a cost of", why.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void Build_FoundAgain_SaysWhatItsRankCameFrom()
    {
        BuildChange build = Old(4);

        Assert.Equal((BuildFate.Rose, 1), (build.Fate, build.NewRank));
        Assert.Empty(build.Retuned);
        Assert.Equal(new Reason(ReasonKind.Neighbours, "3 builds before it went"), Assert.Single(build.Why));
    }

    [Fact]
    public void Build_WithAnotherTube_IsFoundAsRetuned()
    {
        BuildChange build = Old(7);

        Assert.Equal((BuildFate.Rose, 3), (build.Fate, build.NewRank));
        Assert.Equal("high tube 11 mm of 1.5 mm bore instead of 10 mm of 1.5 mm bore", Assert.Single(build.Retuned));
    }

    [Fact]
    public void Build_ThatIsNew_NamesThePartThatWasNotThere()
    {
        BuildChange build = Assert.Single(Planted.Builds, build => build.Fate == BuildFate.New);

        Assert.Equal(2, build.NewRank);
        Assert.Equal(new Reason(ReasonKind.PartGone, "the receiver HI-3 was not in the drawer", "HI-3"), Assert.Single(build.Why));
    }

    [Fact]
    public void Drawer_OfThePair_NamesEachChangeOnce() => Assert.Equal(
        [
            "HI-1 Removed the receiver HI-1 is gone", "HI-3 Added the receiver HI-3 is new, 120 in stock", "HI-4 Price HI-4 costs 55.00 EUR instead of 9.80",
            "LO-2 Stock LO-2 is out of stock, where there were 120",
        ],
        Planted.Drawer.Select(change => $"{change.Part} {change.Kind} {change.Words}"));

    [Fact]
    public void Job_OfThePair_NamesEachChangeOnce()
    {
        JobChange change = Assert.Single(Planted.Job);
        Assert.Equal("ways low counts is 1, 2 instead of 1, 2, 4", change.Words);
    }

    [Fact]
    public void Job_PointsOfATargetAndLimits_AreNamedByTheirPlace()
    {
        string old = Job(Drawer(Receivers), "[1]", 60), now = old.Replace("{ \"hz\": 40, \"db\": 4 }", "{ \"hz\": 40, \"db\": 7 }, { \"hz\": 60, \"db\": 3 }", StringComparison.Ordinal)
            .Replace("\"maxPartsCost\": 60,", "", StringComparison.Ordinal);

        Assert.Equal(
            ["limits maxPartsCost was 60; nothing is said now", "target points at 40 Hz db is 7 instead of 4", "target points at 60 Hz is now db 3; nothing was said before"],
            JobChange.Between(old, now).Select(change => change.Words));
    }

    [Fact]
    public void Target_ThatChanged_IsTheReasonOfAnotherCost()
    {
        string old = Job(Drawer(Receivers), "[1, 2]", 60);
        RunChanges changes = Between(old, [Build("LO-1", 1, "HI-2")], old.Replace("\"db\": 4", "\"db\": 9", StringComparison.Ordinal), [Build("LO-1", 1, "HI-2")]);
        BuildChange build = Assert.Single(changes.Builds);

        Assert.Equal(BuildFate.Stayed, build.Fate);
        Assert.Contains(build.Why, reason => reason.Kind == ReasonKind.Target && reason.Words.EndsWith("since the job's target changed", StringComparison.Ordinal));
        Assert.NotEqual(build.Old!.Cost, build.Now!.Cost);
    }

    [Fact]
    public void Receiver_StatedOtherwise_IsTheReasonAndJudgedWithItsNewFigures()
    {
        string old = Job(Drawer(Receivers), "[1, 2]", 60), now = old.Replace("\"massMg\":1.03", "\"massMg\":1.4", StringComparison.Ordinal);
        RunChanges changes = Between(old, [Build("LO-1", 1, "HI-2")], now, [Build("LO-1", 1, "HI-2")]);
        BuildChange build = Assert.Single(changes.Builds);

        Assert.Contains(build.Why, reason => reason is { Kind: ReasonKind.Parameters, Part: "HI-2" });
        Assert.NotEqual(build.Old!.Cost, build.Now!.Cost);
    }

    // Twice the voltage is 6.0206 dB and nothing else.
    [Fact]
    public void Response_AtTwiceTheDrive_DiffersInLevelAlone()
    {
        string old = Job(Drawer(Receivers), "[1, 2]", 60), now = old.Replace("\"millivoltRms\": 100", "\"millivoltRms\": 200", StringComparison.Ordinal);
        ResponseDifference response = Between(old, [Build("LO-1", 1, "HI-2")], now, [Build("LO-1", 1, "HI-2")]).Response!;

        Assert.Equal(20 * Math.Log10(2), response.LevelDb, 1e-9);
        Assert.Equal(0, response.RmsDb, 1e-9);
        Assert.All(response.Octaves, octave => Assert.Equal(0, octave.MaxDb, 1e-9));
    }

    [Fact]
    public void Parts_OfTheBestBuilds_AreCountedAgainstEachOther()
    {
        RunChanges changes = Between(
            Job(Drawer(Receivers), "[1, 2]", 60), [Build("LO-1", 1, "HI-2")], Job(Drawer(Receivers), "[1, 2]", 60), [Build("LO-1", 2, "HI-4", tube: 12)]);

        Assert.Equal(
            ["HI-2 1 0", "HI-4 0 1", "LO-1 1 2", "T15 20 22"],
            changes.Parts.Select(part => string.Create(CultureInfo.InvariantCulture, $"{part.Part} {part.Old:0.#} {part.New:0.#}")));
        Assert.Equal((0, 3, 5), (changes.Shared!.Ways.Count, changes.Shared.Pieces, changes.Shared.OfPieces));
    }

    [Fact]
    public void Variant_IsComparedWithTheBuildItStartsFrom()
    {
        string old = Job(Drawer(Receivers), "[1, 2]", 60);
        string now = old.Replace("\"name\": \"Small\"", $$"""  "name": "Small", "from": { "build": { "job": "Small", "rank": 1, {{Ways("LO-1", 1, "HI-2")}} }, "free": ["low"] }  """, StringComparison.Ordinal);
        RunChanges changes = Between(old, [Build("LO-1", 1, "HI-2")], now, [Build("LO-1", 2, "HI-2")]);

        Assert.Equal(["high"], changes.Shared!.Ways);
        Assert.Equal(["low"], changes.Shared.OtherWays);
        Assert.Contains("build 1 of the job \"Small\"", changes.Shared.With, StringComparison.Ordinal);
        Assert.Equal("from is now build 1 of the job \"Small\", only low free; nothing was said before", changes.Job[0].Words);
    }

    [Fact]
    public void Cost_ThatAnotherVersionReckoned_IsSaid()
    {
        string job = Job(Drawer(Receivers), "[1, 2]", 60), build = Build("LO-1", 1, "HI-2").Replace("\"ways\"", "\"cost\": { \"total\": 12345.678 }, \"programVersion\": \"0.0.9\", \"ways\"", StringComparison.Ordinal);

        Assert.Contains("(0.0.9) said 12345.6780", Between(job, [build], job, [build]).Program, StringComparison.Ordinal);
        Assert.Null(Planted.Program);
    }

    [Fact]
    public void Runs_WithoutBuilds_AreComparedAllTheSame()
    {
        string job = Job(Drawer(Receivers), "[1, 2]", 60);
        RunChanges changes = Between(job, [], job, [Build("LO-1", 1, "HI-2")]);

        Assert.Equal(BuildFate.New, Assert.Single(changes.Builds).Fate);
        Assert.Null(changes.Response);
        Assert.Contains("injures hearing", changes.Caution, StringComparison.Ordinal);
    }

    [Fact]
    public void Folder_WithoutItsJob_IsRefusedWithWhatIsMissing()
    {
        string folder = Directory.CreateTempSubdirectory("run").FullName;
        File.WriteAllText(Path.Combine(folder, "result.json"), "{}");

        Fault fault = Assert.Single(RunFolder.Read(folder).Faults);
        Directory.Delete(folder, recursive: true);

        Assert.Contains("a result without the job it answers", fault.Message, StringComparison.Ordinal);
    }

    private static BuildChange Old(int rank) => Planted.Builds.Single(build => build.OldRank == rank);

    private static RunChanges Between(string old, string[] builds, string now, string[] later) => RunChanges.Between(Run("old", old, builds), Run("new", now, later));

    private static KeptRun Run(string label, string job, string[] builds)
    {
        Reading<KeptRun> run = KeptRun.Of(label, JobFile.ReadPosted(Encoding.UTF8.GetBytes(job), "nowhere"), builds.Select((text, at) => ($"build {at + 1}", text)), null);
        Assert.Empty(run.Faults);
        return run.Value!;
    }

    private static string Job(string drawer, string counts, int most, int keep = 20) => string.Create(CultureInfo.InvariantCulture, $$"""
        { "format": "job/1", "name": "Small", "inventory": [ {{drawer}} ],
          "target": { "bandHz": [40, 12000], "toleranceDb": 40, "points": [ { "hz": 40, "db": 4 }, { "hz": 160, "db": 0 }, { "hz": 12000, "db": 0 } ] },
          "phase": { "limitDeg": 180, "arrivalLimitUs": 100000 }, "drive": { "millivoltRms": 100 },
          "ways": [ { "name": "low", "receivers": { "tags": ["low"] }, "counts": {{counts}}, "wiring": ["parallel", "series"], "networks": [ [] ] },
                    { "name": "high", "receivers": { "tags": ["high"] }, "counts": [1], "networks": [ [] ] } ],
          "limits": { "maxPartsCost": {{most}}, "sets": 1, "stockOnly": true }, "effort": { "keep": {{keep}} } }
        """);

    /// <param name="receivers">Part numbers; the first two letters say the way.</param>
    /// <param name="supplies">Other terms of supply than the usual, by part number.</param>
    private static string Drawer(IEnumerable<string> receivers, Dictionary<string, string>? supplies = null) => string.Join(", ", receivers.Select(part =>
    {
        JsonNode item = JsonNode.Parse(JobDesk.Receiver(part, part.StartsWith("LO", StringComparison.Ordinal) ? "low" : "high"))!;
        // No two alike, so that no two builds have the same cost.
        item["mechanical"]!["massMg"] = part == "HI-2" ? 1.03 : 1 + (0.11 * (part[0] + part[^1] - 100));
        item["supply"] = JsonNode.Parse(supplies?.GetValueOrDefault(part) ?? """{ "unitPrice": 9.80, "currency": "EUR", "stock": 120 }""");
        return item.ToJsonString();
    })) + """, { "format": "tubing/1", "partNumber": "T15", "boreMm": 1.5, "supply": { "unitPrice": 2.9, "currency": "EUR", "stock": 80 } } """;

    private static string Ways(string low, int count, string high, string wiring = "parallel", double tube = 10) => string.Create(CultureInfo.InvariantCulture, $$"""
        "ways": [ { "name": "low", "receiver": "{{low}}", "count": {{count}}, "wiring": "{{wiring}}", "tube": [ { "lengthMm": 10, "boreMm": 1.5 } ] },
                  { "name": "high", "receiver": "{{high}}", "tube": [ { "lengthMm": {{tube}}, "boreMm": 1.5 } ] } ]
        """);

    private static string Build(string low, int count, string high, string wiring = "parallel", double tube = 10) => $$"""{ "format": "build/1", {{Ways(low, count, high, wiring, tube)}} }""";
}
