using System.Text.Json;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>A part-spread study as JSON (spread/1). Every figure from samples is a pair: the figure and its standard error.</summary>
public static class SpreadFile
{
    /// <summary>The format it bears.</summary>
    public const string Format = "spread/1";

    /// <summary>The words files and options bear for the distributions.</summary>
    public static IReadOnlyList<(string Word, SpreadShape Shape)> Shapes { get; } =
        [("normal", SpreadShape.Normal), ("truncated-normal", SpreadShape.TruncatedNormal), ("uniform", SpreadShape.Uniform)];

    /// <summary>The text.</summary>
    /// <param name="results">One study a build, all on the same draws.</param>
    /// <param name="names">What each build is called.</param>
    /// <param name="problem">The job.</param>
    public static string Write(IReadOnlyList<SpreadResult> results, IReadOnlyList<string> names, Problem problem) => BuildFileJson.Text(json =>
    {
        SpreadSettings settings = results[0].Settings;
        json.WriteString("format", Format);
        json.WriteOrigin(problem);
        json.WriteString("programVersion", BuildFile.ProgramVersion);
        json.WriteString("caution", BuildFile.Caution);
        json.WriteNumber("samples", settings.Samples);
        json.WriteNumber("seed", settings.Seed);
        json.WriteNumber("sideLimitDb", settings.SideLimitDb);
        json.WriteNumber("coverage", settings.Coverage);
        json.WriteNumber("cutErrorMm", Units.ToMm(settings.CutError ?? Math.Round(problem.TubeStep / 2, 9)));
        json.WriteString("receiverShape", Word(settings.Receivers));
        json.WriteString("toleranceShape", Word(settings.Tolerances));
        json.WriteString("cutShape", Word(settings.Cuts));
        json.WriteStartArray("builds");
        for (int i = 0; i < results.Count; i++)
        {
            json.WriteStartObject();
            json.WriteString("name", names[i]);
            Build(json, results[i], i == 0 ? null : results[0]);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    });

    /// <summary>The word for a distribution.</summary>
    public static string Word(SpreadShape shape) => Shapes.First(pair => pair.Shape == shape).Word;

    private static void Build(Utf8JsonWriter json, SpreadResult result, SpreadResult? first)
    {
        json.WriteString("key", result.Key);
        Pair(json, "yield", result.Yield);
        if (first is not null)
        {
            Pair(json, "yieldOverFirst", result.YieldOver(first));
        }

        json.WriteStartArray("limits");
        foreach ((string limit, SpreadEstimate yield) in result.Limits)
        {
            json.WriteLine(line =>
            {
                line.WriteString("limit", limit);
                Pair(line, "yield", yield);
            });
        }

        json.WriteEndArray();
        Pair(json, "insideLowHighDb", result.Inside(0, null));
        Pair(json, "insideLowHighDbAndOhm", result.Inside(0, 0));
        Pair(json, "sideYield", result.SideYield);
        Pair(json, "sideVoiceYield", result.SideVoiceYield);
        Pair(json, "sideBalanceYield", result.SideBalanceYield);
        Pair(json, "sideVoiceMedianDb", result.SideVoiceDb.Median);
        Pair(json, "sideVoiceHighDb", result.SideVoiceDb.High);
        Pair(json, "sideVoiceMedianDeg", result.SideVoiceDeg.Median);
        Pair(json, "sideVoiceHighDeg", result.SideVoiceDeg.High);
        json.WriteFinite("nominalCost", result.NominalCost);
        Pair(json, "cost", result.Cost);
        Pair(json, "magnitudeRmsDb", result.MagnitudeRmsDb);
        Pair(json, "magnitudeMaxMedianDb", result.MagnitudeMaxDb.Median);
        Pair(json, "magnitudeMaxHighDb", result.MagnitudeMaxDb.High);
        Pair(json, "splAt100mV", result.SplAt100mV);
        Pair(json, "splDeviationDb", result.SplDeviationDb);
        json.WriteFinite("shapeDeviationDb", result.ShapeDeviationDb);
        json.WriteStartArray("shares");
        foreach (VarianceShare share in result.Shares)
        {
            json.WriteLine(line =>
            {
                line.WriteString("part", share.Role);
                Pair(line, "share", share.Share);
            });
        }

        json.WriteEndArray();
        Pair(json, "shareSum", result.ShareSum);
        json.WriteStartArray("assumed");
        foreach (string part in result.Assumed)
        {
            json.WriteStringValue(part);
        }

        json.WriteEndArray();
        json.WriteStartArray("points");
        foreach (SpreadPoint point in result.Points)
        {
            json.WriteLine(line =>
            {
                line.WriteFinite("hz", point.Hz);
                line.WriteFinite("nominalDb", point.NominalDb);
                Pair(line, "lowDb", point.LowDb);
                Pair(line, "medianDb", point.MedianDb);
                Pair(line, "highDb", point.HighDb);
                Pair(line, "deviationDb", point.DeviationDb);
                line.WriteFinite("nominalOhm", point.NominalOhm);
                Pair(line, "lowOhm", point.LowOhm);
                Pair(line, "highOhm", point.HighOhm);
                Pair(line, "sideMedianDb", point.SideMedianDb);
                Pair(line, "sideHighDb", point.SideHighDb);
                Pair(line, "sideMedianDeg", point.SideMedianDeg);
                Pair(line, "sideHighDeg", point.SideHighDeg);
            });
        }

        json.WriteEndArray();
    }

    private static void Pair(Utf8JsonWriter json, string name, SpreadEstimate estimate) =>
        json.WriteRow(name, [Rounded(estimate.Value), Rounded(estimate.StandardError)]);

    /// <summary>Six digits: more than the standard error leaves.</summary>
    private static double Rounded(double value) => double.IsFinite(value) && value != 0
        ? double.Parse(value.ToString("G6", System.Globalization.CultureInfo.InvariantCulture), System.Globalization.CultureInfo.InvariantCulture)
        : value;
}
