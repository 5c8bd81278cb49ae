using System.Text.Json;
using Json.Schema;
using XoverOpt.Search;
using static XoverOpt.Workshop.Tests.BuildFileFixture;

namespace XoverOpt.Workshop.Tests;

public class SchemaTests
{
    public static TheoryData<string> Names => [.. FileSchemas.Names];

    [Theory]
    [MemberData(nameof(Names))]
    public void Schema_OfEveryFormat_IsAValidSchemaOf202012(string name)
    {
        JsonElement schema = JsonDocument.Parse(FileSchemas.Text(name)).RootElement;

        Assert.Equal("https://json-schema.org/draft/2020-12/schema", schema.GetProperty("$schema").GetString());
        Assert.True(MetaSchemas.Draft202012.Evaluate(schema).IsValid);
        Assert.Equal(name, schema.GetProperty("properties").GetProperty("format").GetProperty("const").GetString());
    }

    /// <summary>What a reader of the schema sees: every number that has a name has a description and a range or says it is a result.</summary>
    [Theory]
    [MemberData(nameof(Names))]
    public void Schema_EveryProperty_IsDescribed(string name) =>
        Assert.Empty(Undescribed(JsonDocument.Parse(FileSchemas.Text(name)).RootElement, ""));

    [Fact]
    public void Text_UnknownName_IsRefusedWithTheKnownOnes() =>
        Assert.Contains("job/1", Assert.Throws<ArgumentException>(() => FileSchemas.Text("jobs/1")).Message, StringComparison.Ordinal);

    [Fact]
    public void FileName_OfAFormat_IsThatOfTheFileInTheSource() => Assert.Equal("job-1.schema.json", FileSchemas.FileName("job/1"));

    [Fact]
    public void WrittenBuild_Always_SatisfiesItsSchema()
    {
        Assert.Equal("", SchemaCheck.Objections(SchemaCheck.Parse(Text())));

        var unknown = Build with
        {
            Feasible = false,
            BrokenLimits = ["too dear"],
            RelaxedCost = double.NaN,
            Advice = [new(AdviceKind.Limit, 6.5, "the impedance limit binds"), new(AdviceKind.Receivers, null, "nothing binds")],
            Figures = Figures with { PartsCost = null, BodyVolumeMm3 = null, Headroom = [], SourceShiftDb = double.PositiveInfinity },
        };
        Assert.Equal("", SchemaCheck.Objections(SchemaCheck.Parse(Text(unknown))));
    }

    [Fact]
    public void WrittenResult_Always_SatisfiesItsSchema()
    {
        Assert.Equal("", SchemaCheck.Objections(SchemaCheck.Parse(ResultFile.Write(ResultFileTests.Result, TwoWay, "0"))));
        Assert.Equal("", SchemaCheck.Objections(SchemaCheck.Parse(ResultFile.Write(ResultFileTests.Result with { Builds = [], Exclusions = [] }, TwoWay, "0"))));
        SearchResult unsure = ResultFileTests.Result with { Values = SearchConfidence.Of(ConfidenceKind.Values, 2, 1, 2), Layouts = SearchConfidence.Of(ConfidenceKind.Layouts, 9, 3, 2) };
        Assert.Equal("", SchemaCheck.Objections(SchemaCheck.Parse(ResultFile.Write(unsure, TwoWay, "0"))));
    }

    [Theory]
    [InlineData("hz,spl_db,phase_deg\n100,90,0\n200,91,-10\n400,92,-20\n800,60,-160\n1600,93,-200\n")]
    [InlineData("hz,impedance_ohm\n100,30\n200,31\n400,32\n800,33\n")]
    public void WrittenCurves_Always_SatisfyTheirSchema(string csv)
    {
        MeasuredCurve curve = MeasuredFile.Parse(System.Text.Encoding.UTF8.GetBytes(csv), "curve").Value!;
        Assert.Equal("", SchemaCheck.Objections(SchemaCheck.Parse(MeasuredComparison.Json(MeasuredRequest.Judge(null, [curve, curve]), [curve.Remarks, ["said"]]))));
    }

    [Fact]
    public void Result_WithoutItsReason_BreaksItsSchema() => Assert.False(SchemaCheck.Holds(
        "result/1", ResultFile.Write(ResultFileTests.Result, TwoWay, "0").Replace("\"reason\": \"evaluations-used\",", "", StringComparison.Ordinal)));

    [Theory]
    [InlineData("driverlib", 5)]
    [InlineData("jobs", 1)]
    public void DemoFiles_InTheRepository_SatisfyTheirSchemas(string folder, int fewest)
    {
        string path = Path.Combine(SchemaCheck.Root()!.FullName, folder);
        Assert.True(Directory.Exists(path), $"There is no folder {folder} beside XoverOpt.sln.");

        (string File, JsonElement Item)[] items =
        [
            .. Directory.EnumerateFiles(path, "*.json")
                .SelectMany(file => SchemaCheck.Items(SchemaCheck.Parse(File.ReadAllText(file))).Select(item => (file, item))),
        ];

        Assert.True(items.Length >= fewest);
        Assert.All(items, item => Assert.Equal("", SchemaCheck.Objections(item.Item)));
    }

    private static IEnumerable<string> Undescribed(JsonElement schema, string at)
    {
        if (schema.ValueKind != JsonValueKind.Object)
        {
            yield break;
        }

        foreach (JsonProperty member in schema.EnumerateObject())
        {
            if (member.Name == "properties")
            {
                foreach (JsonProperty property in member.Value.EnumerateObject())
                {
                    string place = $"{at}/{property.Name}";
                    bool said = property.Value.ValueKind == JsonValueKind.False
                        || new[] { "description", "$ref", "const", "pattern", "enum" }.Any(key => property.Value.TryGetProperty(key, out _));
                    if (!said)
                    {
                        yield return place;
                    }

                    foreach (string deeper in Undescribed(property.Value, place))
                    {
                        yield return deeper;
                    }
                }
            }
            else
            {
                IEnumerable<JsonElement> below = member.Value.ValueKind == JsonValueKind.Array ? member.Value.EnumerateArray() : [member.Value];
                foreach (string deeper in below.SelectMany(item => Undescribed(item, $"{at}/{member.Name}")))
                {
                    yield return deeper;
                }
            }
        }
    }
}
