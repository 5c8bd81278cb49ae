using System.Globalization;
using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Commands;

/// <summary>Measured curves through command line and API alike.</summary>
public sealed class MeasurementCommandTests
{
    private const string Bench = """
        { "format": "measurements/1", "partNumber": "R-1", "known": { "diaphragmMm2": 9, "rearVolumeMm3": 150 },
          "curves": [ { "CURVE": CSV, "load": { "end": "blocked" } }, { "csv": "hz;impedance_ohm\n100;40\n1000;45,5\n", "load": { "end": "open" } } ] }
        """;

    [Fact]
    public async Task Curve_BesideABuild_GivesTableAndCsv()
    {
        using Desk desk = new();
        desk.Write("jobs/job.json", Desk.Job());
        desk.Write("rival.csv", Csv());
        await Cli.Run(desk.Root, "solve", "jobs/job.json", "--out", "o");

        (int exit, string output, string error) = await Cli.Run(desk.Root, "curve", "rival.csv", "--job", "jobs/job.json", "--build", "o/builds/01.json", "--csv", "side.csv");
        (int plain, string json, _) = await Cli.Run(desk.Root, "curve", "rival.csv", "--json");

        Assert.True(exit == 0 && plain == 0, error);
        Assert.Contains("rival", output, StringComparison.Ordinal);
        Assert.Contains("not known: summing loss", output, StringComparison.Ordinal);
        Assert.Contains("injures hearing", output.ReplaceLineEndings(" "), StringComparison.Ordinal);
        string[] side = desk.Read("side.csv").Split('\n');
        Assert.StartsWith("hz,\"rival level_db\",", side[0], StringComparison.Ordinal);
        Assert.Equal(11, side[1].Split(',').Length);
        JsonNode figures = JsonNode.Parse(json)!["curves"]![0]!["figures"]!;
        Assert.Null(figures["magnitudeRmsDb"]);
        Assert.NotNull(figures["phaseRmsDeg"]);
    }

    [Fact]
    public async Task Curve_WrongUnit_ExitsWithTheReason()
    {
        using Desk desk = new();
        desk.Write("bad.csv", "hz,spl_db\n0.1,90\n1,91\n10,92\n");

        (int exit, _, string error) = await Cli.Run(desk.Root, "curve", "bad.csv");

        Assert.Equal(1, exit);
        Assert.Contains("They look like kHz", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Fit_MeasurementsOfAReceiver_WritesAReceiverFile()
    {
        using Desk desk = new();
        desk.Write("bench/closed.csv", Csv());
        desk.Write("bench/m.json", Bench.Replace("CURVE", "file", StringComparison.Ordinal).Replace("CSV", "\"closed.csv\"", StringComparison.Ordinal));
        desk.Write("bench/loose.json", Bench.Replace("CURVE", "file", StringComparison.Ordinal).Replace("CSV", "\"closed.csv\"", StringComparison.Ordinal).Replace("\"diaphragmMm2\": 9, ", "", StringComparison.Ordinal));

        (int exit, string output, string error) = await Cli.Run(desk.Root, "fit", "bench/m.json", "--out", "r.json");
        (int check, string order, string faults) = await Cli.Run(desk.Root, "check", "r.json");
        (int loose, string table, string said) = await Cli.Run(desk.Root, "fit", "bench/loose.json", "--out", "no.json");

        Assert.True(exit == 0, error);
        Assert.Contains("forceFactorNPerA", output, StringComparison.Ordinal);
        Assert.True(check == 0, order + faults);
        Assert.Equal(2, loose);
        Assert.Contains("not determined", table, StringComparison.Ordinal);
        Assert.Contains("not written", said, StringComparison.Ordinal);
        Assert.False(File.Exists(Path.Combine(desk.Root, "no.json")));
    }

    [Theory]
    [InlineData("fit")]
    [InlineData("curve")]
    public async Task Help_OfEachCommand_HasExamplesAndExitCodes(string command)
    {
        (int exit, string output, _) = await Cli.Run(AppContext.BaseDirectory, command, "--help");

        Assert.Equal(0, exit);
        Assert.Contains("Examples:", output, StringComparison.Ordinal);
        Assert.Contains("Exit codes:", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Post_CurvesAndFits_AnswerOrSayWhatIsWrong()
    {
        using Desk desk = new();
        await using WorkerHere worker = await WorkerHere.Start(desk);
        string csv = JsonValue.Create(Csv()).ToJsonString();
        string job = Desk.Job();

        (HttpStatusCode code, JsonNode body) = await Post(worker, "/api/curves", $$"""{ "format": "compare/1", "job": {{job}}, "curves": [ { "name": "rival", "csv": {{csv}} } ] }""");
        Assert.True(code == HttpStatusCode.OK, body.ToJsonString());
        Assert.NotNull(body["curves"]![0]!["figures"]!["magnitudeRmsDb"]);

        (code, body) = await Post(worker, "/api/curves", """{ "format": "compare/1", "curves": [ { "csv": "hz,spl_db\n0.1,90\n1,91\n10,92\n" }, { "wavBase64": "x!" } ], "builds": [ {} ] }""");
        Assert.Equal(HttpStatusCode.BadRequest, code);
        Assert.Equal(["", "/curves/0/csv", "/curves/1/wavBase64"], body["faults"]!.AsArray().Select(fault => (string)fault!["pointer"]!).Order(StringComparer.Ordinal));

        (code, body) = await Post(worker, "/api/fits", Bench.Replace("CURVE", "csv", StringComparison.Ordinal).Replace("CSV", csv, StringComparison.Ordinal));
        Assert.True(code == HttpStatusCode.OK, body.ToJsonString());
        Assert.Equal("receiver/1", (string?)body["receiver"]!["format"]);

        (code, body) = await Post(worker, "/api/fits", """{ "format": "measurements/1", "partNumber": "R", "curves": [ { "file": "x.csv", "load": { "end": "blocked" } } ] }""");
        Assert.Equal(HttpStatusCode.BadRequest, code);
        Assert.Equal("/curves/0/file", (string?)body["faults"]![0]!["pointer"]);
    }

    private static async Task<(HttpStatusCode Code, JsonNode Body)> Post(WorkerHere worker, string path, string body)
    {
        using HttpResponseMessage response = await worker.Client.Http.PostAsync(path, WorkerClient.Json(body), TestContext.Current.CancellationToken);
        return (response.StatusCode, JsonNode.Parse(await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!);
    }

    /// <summary>A receiver of the desk's drawer, right at a wall.</summary>
    private static string Csv()
    {
        Acoustics.Receiver receiver = new()
        {
            PartNumber = "truth",
            DcResistance = 38,
            Inductance = 6e-3,
            SemiInductance = 9,
            ForceFactor = 4.2,
            Mass = 7e-6,
            Compliance = 1.1e-3,
            Resistance = 0.006,
            DiaphragmArea = 9e-6,
            RearVolume = 150e-9,
            FrontVolume = 20e-9,
            SpoutLength = 2e-3,
            SpoutBore = 1.4e-3,
        };
        StringBuilder text = new("hz,spl_db,phase_deg,impedance_ohm,impedance_phase_deg\n");
        for (int k = 0; k <= 120; k++)
        {
            double f = 20 * Math.Pow(1000, k / 120.0);
            Acoustics.TwoPort chain = receiver.Matrix(2 * Math.PI * f, Acoustics.Air.At());
            System.Numerics.Complex z = chain.A / chain.C, p = 0.1 / chain.A;
            text.AppendJoin(',', new[] { f, 20 * Math.Log10(p.Magnitude / 20e-6), p.Phase * 180 / Math.PI, z.Magnitude, z.Phase * 180 / Math.PI }
                .Select(value => value.ToString("R", CultureInfo.InvariantCulture))).Append('\n');
        }

        return text.ToString();
    }
}
