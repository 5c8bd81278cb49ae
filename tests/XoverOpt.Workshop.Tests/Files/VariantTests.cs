using System.Text.Json.Nodes;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests;

/// <summary>Jobs that start from a build, and jobs that know builds beforehand.</summary>
public sealed class VariantTests : IDisposable
{
    private const string High = """
        { "name": "high", "receiver": "HI-1", "count": 2, "wiring": "series", "polarity": "inverted", "damperOhmCgs": 1500, "tube": [ { "lengthMm": 9.3, "boreMm": 1.3 } ],
          "network": [ { "place": "series", "kind": "resistor", "ohm": 22.1 }, { "place": "shunt", "kind": "resistor", "ohm": 47 }, { "place": "series", "kind": "capacitor", "microfarad": 0.1, "esrOhm": 0.5 } ] }
        """;

    private const string Low = """{ "name": "low", "receiver": "LO-1", "tube": [ { "lengthMm": 10, "boreMm": 1.5 } ] }""";

    private readonly JobDesk _desk = new();

    public void Dispose() => _desk.Dispose();

    private static string From(string ways, string more = "") => JobDesk.With($$"""{{more}} "from": { "build": { "ways": [ {{ways}} ] }, "free": ["low"] }""");

    [Fact]
    public void Read_KeptWay_HasTheBuildsPartsForItsOnlyChoice()
    {
        Problem problem = _desk.Good(From($"{Low}, {High}")).Problem;
        WayChoice low = problem.Ways[0], high = problem.Ways[1];

        Assert.Equal(["low", "high"], problem.Ways.Select(way => way.Name));
        Assert.Null(low.Kept);
        Assert.True(low.Networks.Count > 1);
        Assert.Equal(("HI-1", 2, 1, 1, 1), (high.Receivers.Single().Receiver.PartNumber, high.Counts.Single(), high.Networks.Count, high.Bores.Count, high.Dampers.Count));
        Assert.Equal((Units.FromMm(9.3), Units.FromMm(9.3)), (high.TubeMin, high.TubeMax));
        // Values with the parts they are bought under, the capacitor by its loss; the odd resistor stands bare.
        Assert.Equal([22.1, 47, Units.FromMicrofarad(0.1)], high.Kept!.Parts.Select(part => part.Value));
        Assert.Equal([null, null, "C-CHEAP"], high.Kept.Parts.Select(part => part.PartNumber));
        Assert.Equal([null, 0.03m, 0.10m], high.Kept.Parts.Select(part => part.Supply?.UnitPrice));
        Assert.Equal(Units.FromOhmCgs(1500), high.Dampers.Single().Value);
        Assert.Equal(low.Name, problem.Known.Single().Ways[0].Name);
    }

    [Fact]
    public void Read_BuildByItsPath_IsTheSameJobAsWithTheBuildInIt()
    {
        _desk.Write("jobs/parent.json", $$"""{ "format": "build/1", "rank": 2, "job": "Parent", "cost": { "total": 1 }, "ways": [ {{Low}}, {{High}} ] }""");
        JobDocument path = _desk.Good(JobDesk.With("\"from\": { \"build\": \"parent.json\", \"free\": [\"low\"] }"));
        JobDocument inline = _desk.Good(JobDesk.With($$"""  "from": { "build": { "rank": 2, "job": "Parent", "ways": [ {{Low}}, {{High}} ] }, "free": ["low"] }"""));

        Assert.Equal(inline.SelfContainedJson, path.SelfContainedJson);
        Assert.Equal(inline.Problem.JobHash, path.Problem.JobHash);
        Assert.Equal(("Parent", 2), (path.From!.Job, path.From.Rank));
    }

    [Fact]
    public void Search_OfAVariant_KeepsTheWayPartForPart()
    {
        Problem problem = _desk.Good(From($"{Low}, {High}", "\"effort\": { \"evaluations\": 2000, \"keep\": 3 },")).Problem;
        LayoutSearch search = new(problem);
        while (!search.Done)
        {
            search.Tell([.. search.Outstanding[0].Trials.Select(trial => search.Evaluate(trial, TestContext.Current.CancellationToken))]);
        }

        Assert.NotEmpty(search.Result().Builds);
        foreach (RankedBuild build in search.Result().Builds)
        {
            JsonNode written = JsonNode.Parse(BuildFile.Write(build, problem, new BuildEvaluation(problem).Response(build.Earpiece)))!["ways"]![1]!;
            JsonNode parent = JsonNode.Parse(High)!;
            foreach (string key in new[] { "receiver", "count", "wiring", "polarity", "damperOhmCgs" })
            {
                Assert.Equal(parent[key]!.ToJsonString(), written[key]!.ToJsonString());
            }

            Assert.Equal((9.3, 1.3), ((double)written["tube"]![0]!["lengthMm"]!, (double)written["tube"]![0]!["boreMm"]!));
            Assert.Equal([22.1, 47.0, 0.1], new[] { "ohm", "ohm", "microfarad" }.Select((key, at) => (double)written["network"]![at]![key]!));
            Assert.Equal("C-CHEAP", (string)written["network"]![2]!["capacitorPartNumber"]!);
        }
    }

    // All faults at once: the free way, the receiver, the pieces of tube.
    [Fact]
    public void Read_BuildThatCannotBeKept_IsRefusedForEachReason()
    {
        string ways = $$"""{{Low}}, {{High.Replace("HI-1", "HI-9", StringComparison.Ordinal)}}, { "name": "mid", "receiver": "MI-1" } """;
        IReadOnlyList<Fault> faults = _desk.Read(From(ways).Replace("[\"low\"]", "[\"lwo\"]", StringComparison.Ordinal)).Faults;

        Assert.Contains(faults, fault => fault.Pointer == "/from/free/0" && fault.Hint == "Did you mean \"low\"?");
        Assert.Contains(faults, fault => fault.Pointer == "/from/build" && fault.Found.Contains("the way \"high\" with the receiver HI-9, which is not in the drawer", StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.Pointer == "/from/build" && fault.Found.Contains("0 pieces in the way \"mid\"", StringComparison.Ordinal));
    }

    [Fact]
    public void Read_StockOnlyThatDoesNotServeAKeptPart_IsRefused()
    {
        IReadOnlyList<Fault> faults = _desk.Read(From($"{Low}, {High}", "\"limits\": { \"stockOnly\": true, \"sets\": 10 },")).Faults;

        Assert.Contains(faults, fault => fault.Found.Contains("resistor 22.1 Ω", StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.Found.Contains("damper 1500 cgs Ω", StringComparison.Ordinal));
    }

    [Fact]
    public void Read_MissingBuildFile_IsRefusedInItsPlace()
    {
        Fault fault = Assert.Single(_desk.Read(JobDesk.With("\"from\": { \"build\": \"b.json\", \"free\": [\"low\"] }")).Faults);

        Assert.Equal("/from/build", fault.Pointer);
    }

    [Fact]
    public void ReadPosted_BuildOutsideTheInventory_IsRefused()
    {
        _desk.Write("jobs/parent.json", $$"""{ "format": "build/1", "ways": [ {{Low}} ] }""");
        Fault fault = Assert.Single(_desk.ReadPosted(JobDesk.With("\"from\": { \"build\": \"../jobs/parent.json\", \"free\": [\"low\"] }")).Faults);

        Assert.Equal("/from/build", fault.Pointer);
    }

    [Fact]
    public void Known_ReceiverThatIsGone_IsKnownByItsNumberOnly()
    {
        JobDocument job = _desk.Good(JobDesk.With($$"""  "known": { "of": "before", "builds": [ { "ways": [ {{Low.Replace("LO-1", "LO-9", StringComparison.Ordinal)}}, {{High}} ] } ] }"""));

        Assert.Equal("LO-9", job.Problem.Known[0].Ways[0].Receiver.PartNumber);
        Assert.True(double.IsNaN(job.Problem.Known[0].Ways[0].Receiver.Mass));
        Assert.False(double.IsNaN(job.Problem.Known[0].Ways[1].Receiver.Mass));
    }

    // RFC 7396, the examples of its appendix A that are about objects.
    [Theory]
    [InlineData("""{"a":"b"}""", """{"a":"c"}""", """{"a":"c"}""")]
    [InlineData("""{"a":"b"}""", """{"b":"c"}""", """{"a":"b","b":"c"}""")]
    [InlineData("""{"a":"b"}""", """{"a":null}""", """{}""")]
    [InlineData("""{"a":"b","b":"c"}""", """{"a":null}""", """{"b":"c"}""")]
    [InlineData("""{"a":["b"]}""", """{"a":"c"}""", """{"a":"c"}""")]
    [InlineData("""{"a":"c"}""", """{"a":["b"]}""", """{"a":["b"]}""")]
    [InlineData("""{"a":{"b":"c"}}""", """{"a":{"b":"d","c":null}}""", """{"a":{"b":"d"}}""")]
    [InlineData("""{"a":[{"b":"c"}]}""", """{"a":[1]}""", """{"a":[1]}""")]
    [InlineData("""["a","b"]""", """["c","d"]""", """["c","d"]""")]
    [InlineData("""{"e":null}""", """{"a":1}""", """{"e":null,"a":1}""")]
    [InlineData("""{}""", """{"a":{"bb":{"ccc":null}}}""", """{"a":{"bb":{}}}""")]
    public void Merge_ExamplesOfTheStandard_ComeOutAsThere(string target, string patch, string expected) => Assert.Equal(
        expected, JobEdit.Merge(JsonNode.Parse(target), JsonNode.Parse(patch))!.ToJsonString());

    [Fact]
    public void Apart_AJobAndItsDrawer_ReadAsTheSameJob()
    {
        JobDocument job = _desk.Good(From($"{Low}, {High}"));
        (string text, string inventory) = JobEdit.Apart(job.SelfContainedJson);
        _desk.Write("kept/inventory.json", inventory);

        Reading<JobDocument> again = JobFile.Read(_desk.Write("kept/job.json", text));

        Assert.Equal(job.SelfContainedJson, again.Value!.SelfContainedJson);
        Assert.Equal((job.Problem.JobHash, job.Problem.InventoryHash), (again.Value.Problem.JobHash, again.Value.Problem.InventoryHash));
    }
}
