using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests;

public sealed class FitFileTests : IDisposable
{
    private readonly JobDesk _desk = new();

    public FitFileTests() => _desk.Write("bench/closed.csv", Csv());

    public void Dispose() => _desk.Dispose();

    [Fact]
    public void Read_MeasurementsWithEveryKey_TakesThemIn()
    {
        Reading<FitDocument> reading = Read("""
            { "format": "measurements/1", "partNumber": "R-1", "maker": "Ostrel (invented)", "description": "d", "tags": ["low"], "airTempC": 20, "bandHz": [30, 15000], "seed": 4,
              "noise": { "levelDb": 0.3, "phaseDeg": 2, "impedancePercent": 1 }, "known": { "diaphragmMm2": 8.5 }, "assumed": { "rearVolumeMm3": 130 },
              "curves": [ { "file": "closed.csv", "name": "wall", "driveMillivoltRms": 50, "sourceOhm": 2, "delayUnknown": true, "trustUnits": true,
                            "load": { "end": "blocked", "damperOhmCgs": 680, "tube": [ { "lengthMm": 12, "boreMm": 1.5 } ] } },
                          { "file": "closed.csv", "load": { "end": "cavity", "cavityMm3": 2000 } },
                          { "file": "closed.csv", "load": { "end": "ear-simulator", "elements": "classic" } } ] }
            """);

        Assert.True(reading.IsGood, string.Join('\n', reading.Faults));
        ReceiverFitProblem problem = reading.Value.Problem;
        Assert.Equal(8.5e-6, problem.Known[ReceiverParameter.DiaphragmArea], 1e-12);
        Assert.Equal(130e-9, problem.Assumed[ReceiverParameter.RearVolume], 1e-15);
        Assert.Equal(10, problem.Free.Length);
        Assert.Equal(("wall", 0.05, 2.0, true), (problem.Measurements[0].Curve.Name, problem.Measurements[0].DriveVoltage, problem.Measurements[0].SourceResistance, problem.Measurements[0].DelayUnknown));
        Assert.Equal(680e5, problem.Measurements[0].Load.DamperResistance);
        Assert.Equal(2e-6, problem.Measurements[1].Load.CavityVolume, 1e-15);
        Assert.Equal("classic", problem.Measurements[2].Load.Simulator.Name);
    }

    [Theory]
    [InlineData("\"format\": \"measurements/1\"", "\"format\": \"measurement/1\"", "/format")]
    [InlineData("\"partNumber\"", "\"partNo\"", "partNumber")]
    [InlineData("\"blocked\"", "\"shut\"", "/curves/0/load/end")]
    [InlineData("closed.csv", "nowhere.csv", "no such file")]
    [InlineData("\"file\": \"closed.csv\"", "\"name\": \"x\"", "one of the keys file, csv, wavBase64")]
    [InlineData("\"diaphragmMm2\"", "\"diaphragmCm2\"", "Did you mean \"diaphragmMm2\"?")]
    [InlineData("\"diaphragmMm2\": 8.5", "\"diaphragmMm2\": 8500", "a number from 1 mm² to 60 mm²")]
    [InlineData("\"end\": \"blocked\"", "\"end\": \"cavity\"", "cavityMm3")]
    [InlineData("\"known\"", "\"assumed\": { \"diaphragmMm2\": 9 }, \"known\"", "known or assumed")]
    [InlineData("\"known\"", "\"bandHz\": [20, 21], \"known\"", "at least twice")]
    [InlineData("\"known\"", "\"bandHz\": [20, 80], \"known\"", "unknown parameters")]
    public void Read_SomethingWrong_IsRefusedWithItsPlace(string from, string to, string said)
    {
        const string Good = """
            { "format": "measurements/1", "partNumber": "R-1", "known": { "diaphragmMm2": 8.5 },
              "curves": [ { "file": "closed.csv", "load": { "end": "blocked" } } ] }
            """;
        Assert.True(Read(Good).IsGood);
        Assert.Contains(Read(Good.Replace(from, to, StringComparison.Ordinal)).Faults, fault => fault.Message.Contains(said, StringComparison.Ordinal));
    }

    [Fact]
    public void Read_FaultsOfFileAndCurves_AreToldAtOnce()
    {
        _desk.Write("bench/bad.csv", "hz,spl_db\n1,2\n");
        Reading<FitDocument> reading = Read("""
            { "format": "measurements/1", "partNumber": "R-1", "noise": { "levelDb": -1 },
              "curves": [ { "file": "bad.csv", "load": { "end": "blocked" } }, { "csv": "khz,spl_db\n1,90\n2,91\n", "load": { "end": "open" } } ] }
            """);

        Assert.Equal(["", "/curves/1/csv", "/noise/levelDb"], reading.Faults.Select(fault => fault.Pointer).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void ReadPosted_FileNamed_IsRefused() => Assert.Contains(
        FitFile.ReadPosted(Encoding.UTF8.GetBytes("""{ "format": "measurements/1", "partNumber": "R", "curves": [ { "file": "/etc/hosts", "load": { "end": "blocked" } } ] }""")).Faults,
        fault => fault.Pointer == "/curves/0/file" && fault.Message.Contains("no folder", StringComparison.Ordinal));

    /// <summary>What is not determined is null, and there is no receiver; with both anchors there is one that reads as stock.</summary>
    [Theory]
    [InlineData("", false)]
    [InlineData("\"known\": { \"diaphragmMm2\": 8.5 }, \"assumed\": { \"rearVolumeMm3\": 130 },", true)]
    public void Write_FitWithAndWithoutAnchors_WritesOnlyWhatIsDetermined(string given, bool whole)
    {
        FitDocument document = Read($$"""
            { "format": "measurements/1", "partNumber": "R-1", {{given}}
              "curves": [ { "file": "closed.csv", "sourceOhm": 1, "load": { "end": "blocked", "tube": [ { "lengthMm": 12, "boreMm": 1.5 } ] } } ] }
            """).Value!;
        ReceiverFitResult result = ReceiverFit.Of(document.Problem);
        JsonNode json = JsonNode.Parse(FitResultFile.Write(document, result))!;

        Assert.Equal(whole, (bool)json["whole"]!);
        Assert.Equal("", SchemaCheck.Objections(SchemaCheck.Parse(json.ToJsonString())));
        foreach (JsonNode? value in json["values"]!.AsArray())
        {
            bool told = (string)value!["standing"]! is "known" or "assumed" or "determined" or "loose";
            Assert.Equal(told, value["value"] is not null);
        }

        Assert.Equal(whole, json["receiver"] is not null);
        if (whole)
        {
            Reading<Inventory> stock = InventoryFile.Read(_desk.Write("fitted/r1.json", FitResultFile.Receiver(document, result)));
            Assert.True(stock.IsGood, string.Join('\n', stock.Faults));
            Assert.Equal(8.5e-6, stock.Value.Receivers[0].Receiver.DiaphragmArea, 1e-15);
            Assert.Contains("assumed: rearVolumeMm3", stock.Value.Receivers[0].Description, StringComparison.Ordinal);
        }
        else
        {
            Assert.Throws<InvalidOperationException>(() => FitResultFile.Receiver(document, result));
            Assert.NotEmpty(json["ambiguities"]!.AsArray());
        }
    }

    private Reading<FitDocument> Read(string json) => FitFile.Read(_desk.Write("bench/m.json", json));

    /// <summary>A receiver without noise in a closed tube.</summary>
    private static string Csv()
    {
        Acoustics.Receiver receiver = new()
        {
            PartNumber = "truth",
            DcResistance = 45,
            Inductance = 2.9e-3,
            SemiInductance = 0.99,
            ForceFactor = 1.2,
            Mass = 1.4e-6,
            Compliance = 2e-3,
            Resistance = 4.4e-3,
            DiaphragmArea = 8.5e-6,
            RearVolume = 130e-9,
            FrontVolume = 9e-9,
            SpoutLength = 1.2e-3,
            SpoutBore = 1.5e-3,
        };
        Acoustics.Air air = Acoustics.Air.At();
        StringBuilder text = new("hz,spl_db,phase_deg,impedance_ohm,impedance_phase_deg\n");
        for (int k = 0; k <= 120; k++)
        {
            double f = 20 * Math.Pow(1000, k / 120.0), omega = 2 * Math.PI * f;
            Acoustics.TwoPort chain = receiver.Matrix(omega, air) * Acoustics.SoundTube.Matrix(omega, 0.012, 0.0015, air);
            System.Numerics.Complex z = chain.A / chain.C, p = 0.1 / (chain.A + chain.C);
            text.AppendJoin(',', new[] { f, 20 * Math.Log10(p.Magnitude / 20e-6), p.Phase * 180 / Math.PI, z.Magnitude, z.Phase * 180 / Math.PI }
                .Select(value => value.ToString("R", System.Globalization.CultureInfo.InvariantCulture))).Append('\n');
        }

        return text.ToString();
    }
}
