using System.Globalization;
using System.Text.Json;
using XoverOpt.Search;
using static XoverOpt.Workshop.Tests.BuildFileFixture;

namespace XoverOpt.Workshop.Tests;

public class ResultFileTests
{
    internal static SearchResult Result { get; } = new(
        [Build, Build with { Rank = 12, Feasible = false, Figures = Figures with { PartsCost = null, SummingLossDb = double.NaN } }],
        StopReason.EvaluationsUsed, 123_456_789_012, 321, 2.5e18, [new Exclusion("more than 8 receivers", 1.5e6)], ulong.MaxValue)
    {
        GivenUp = [new Exclusion("cannot reach the least SPL", 1000)],
        Values = SearchConfidence.Of(ConfidenceKind.Values, 32, 21, 6),
    };

    [Fact]
    public void Write_Result_SaysWhyItEndedAndFromWhat()
    {
        JsonElement result = JsonDocument.Parse(ResultFile.Write(Result, TwoWay, "0.1.0-test")).RootElement;

        Assert.Equal("result/1", result.GetProperty("format").GetString());
        Assert.Equal("evaluations-used", result.GetProperty("reason").GetString());
        Assert.Equal(123_456_789_012, result.GetProperty("evaluations").GetInt64());
        Assert.Equal(ulong.MaxValue, result.GetProperty("seed").GetUInt64());
        Assert.Equal(TwoWay.Name, result.GetProperty("job").GetString());
        Assert.Equal(TwoWay.JobHash, result.GetProperty("jobHash").GetString());
        Assert.Equal(TwoWay.InventoryHash, result.GetProperty("inventoryHash").GetString());
        Assert.Equal("0.1.0-test", result.GetProperty("programVersion").GetString());
        Assert.Equal(321, result.GetProperty("layoutsTried").GetInt64());
        Assert.Equal(2.5e18, result.GetProperty("layoutsAllowed").GetDouble());
        Assert.Equal("""{"reason":"more than 8 receivers","layouts":1500000}""", result.GetProperty("exclusions")[0].GetRawText());
        Assert.Contains("injures hearing", result.GetProperty("caution").GetString(), StringComparison.Ordinal);
    }

    // The count that effort.endAfter takes; not there where nobody ended it.
    [Fact]
    public void Write_EndedEarly_SaysAtWhichEvaluation()
    {
        string ended = ResultFile.Write(Result with { Reason = StopReason.TimeUsed, EndedAtEvaluations = 77_000 }, TwoWay, "0");

        Assert.Equal(77_000, JsonDocument.Parse(ended).RootElement.GetProperty("endedAtEvaluations").GetInt64());
        Assert.Equal("", SchemaCheck.Objections(SchemaCheck.Parse(ended)));
        Assert.DoesNotContain("endedAtEvaluations", ResultFile.Write(Result, TwoWay, "0"), StringComparison.Ordinal);
    }

    [Fact]
    public void Write_Layouts_AreAllAccountedFor()
    {
        SearchResult counted = Result with { LayoutsAllowed = 5000 };
        JsonElement result = JsonDocument.Parse(ResultFile.Write(counted, TwoWay, "0")).RootElement;

        Assert.Equal("""{"reason":"cannot reach the least SPL","layouts":1000}""", result.GetProperty("givenUp")[0].GetRawText());
        Assert.Equal(5000 - 321 - 1000, result.GetProperty("layoutsNotReached").GetDouble());
        Assert.Equal(0, (counted with { LayoutsAllowed = 10 }).LayoutsNotReached);
    }

    [Fact]
    public void Write_Confidence_SaysTheCountsTheEstimateAndTheWords()
    {
        JsonElement confidence = JsonDocument.Parse(ResultFile.Write(Result, TwoWay, "0")).RootElement.GetProperty("confidence"), values = confidence.GetProperty("values");

        Assert.Equal(["starts", "inBest", "optima", "expectedOptima", "coveredShare", "chanceOfNew", "words"], values.EnumerateObject().Select(member => member.Name));
        Assert.Equal((32, 21, 6), (values.GetProperty("starts").GetInt32(), values.GetProperty("inBest").GetInt32(), values.GetProperty("optima").GetInt32()));
        Assert.Equal(7.75, values.GetProperty("expectedOptima").GetDouble());
        Assert.StartsWith("32 independent starts for the layout that is best with ideal values: 21 ended in the best", values.GetProperty("words").GetString(), StringComparison.Ordinal);
        Assert.Equal(JsonValueKind.Null, confidence.GetProperty("layouts").ValueKind);
    }

    [Fact]
    public void Write_Fronts_NameTheRanksOnThem()
    {
        RankedBuild cheap = Build with { Rank = 2, Cost = Build.Cost with { Total = 1.2 }, Figures = Figures with { PartsCost = 40m, MagnitudeRmsDb = 0.9, SplAt100mV = 90 } };
        SearchResult result = Result with { Builds = [Build, cheap, Build with { Rank = 3, Feasible = false, Figures = Figures with { PartsCost = 1m } }] };
        JsonElement fronts = JsonDocument.Parse(ResultFile.Write(result, TwoWay, "0")).RootElement.GetProperty("fronts");

        Assert.Equal(
            [
                """{"name":"magnitude and phase","x":"magnitudeRmsDb","y":"phaseMaxDeg","ranks":[1]}""",
                """{"name":"price","x":"cost","y":"partsCost","ranks":[1,2]}""",
                """{"name":"receivers","x":"cost","y":"receivers","ranks":[1]}""",
                """{"name":"sensitivity","x":"cost","y":"splAt100mV","ranks":[1]}""",
            ],
            fronts.EnumerateArray().Select(front => front.GetRawText()));
        // Every figure a front names is one of a row's.
        JsonElement row = JsonDocument.Parse(ResultFile.Write(result, TwoWay, "0")).RootElement.GetProperty("builds")[0];
        Assert.All(fronts.EnumerateArray(), front => Assert.True(
            row.TryGetProperty(front.GetProperty("x").GetString()!, out _) && row.TryGetProperty(front.GetProperty("y").GetString()!, out _)));
    }

    [Fact]
    public void Write_Builds_AreARowEachWithTheirFile()
    {
        JsonElement builds = JsonDocument.Parse(ResultFile.Write(Result, TwoWay, "0")).RootElement.GetProperty("builds");

        Assert.Equal(["builds/01.json", "builds/12.json"], builds.EnumerateArray().Select(row => row.GetProperty("file").GetString()));
        Assert.Equal(0.8, builds[0].GetProperty("cost").GetDouble());
        Assert.Equal(0.75, builds[0].GetProperty("relaxedCost").GetDouble());
        Assert.Equal(100 * 0.05 / 0.75, builds[0].GetProperty("snappingLossPercent").GetDouble(), 1e-9);
        Assert.Equal(9.7, builds[0].GetProperty("phaseMaxDeg").GetDouble());
        Assert.Equal(71.30m, builds[0].GetProperty("partsCost").GetDecimal());
        Assert.False(builds[1].GetProperty("feasible").GetBoolean());
        Assert.Equal(JsonValueKind.Null, builds[1].GetProperty("partsCost").ValueKind);
        Assert.Equal(JsonValueKind.Null, builds[1].GetProperty("summingLossDb").ValueKind);
    }

    [Fact]
    public void BuildPath_BeyondTwoDigits_KeepsThemAll() => Assert.Equal("builds/123.json", ResultFile.BuildPath(123));

    [Fact]
    public void Word_EveryReason_HasItsOwn() =>
        Assert.Equal(Enum.GetValues<StopReason>().Length, Enum.GetValues<StopReason>().Select(ResultFile.Word).Distinct().Count());

    [Fact]
    public void Write_UnderACommaDecimalCulture_IsTheSame()
    {
        string invariant = ResultFile.Write(Result, TwoWay, "0");
        CultureInfo before = CultureInfo.CurrentCulture;
        var comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        comma.NumberFormat.NumberDecimalSeparator = ",";
        comma.NumberFormat.NegativeSign = "−";
        try
        {
            CultureInfo.CurrentCulture = comma;

            Assert.Equal(invariant, ResultFile.Write(Result, TwoWay, "0"));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }
}
