using System.Globalization;
using System.Text.Json;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>The result/1 file: how a search ended, what was left out and why, how sure it is, the trade-off fronts, and one row a build.</summary>
public static class ResultFile
{
    /// <summary>The word files bear for why a search ended.</summary>
    public static string Word(StopReason reason) => reason switch
    {
        StopReason.Finished => "finished",
        StopReason.EvaluationsUsed => "evaluations-used",
        StopReason.TimeUsed => "time-used",
        StopReason.Stopped => "stopped",
        _ => throw new ArgumentOutOfRangeException(nameof(reason), reason, "not a reason"),
    };

    /// <summary>The file a build is kept in, from the folder of the result: builds/01.json for rank 1.</summary>
    public static string BuildPath(int rank) => string.Create(CultureInfo.InvariantCulture, $"builds/{rank:00}.json");

    /// <summary>The text of a result file. The same arguments give the same text, in any culture.</summary>
    /// <param name="result">What the search found.</param>
    /// <param name="problem">The problem it searched.</param>
    /// <param name="programVersion">Version of the program to name.</param>
    public static string Write(SearchResult result, Problem problem, string programVersion) => BuildFileJson.Text(json =>
    {
        json.WriteString("format", "result/1");
        json.WriteOrigin(problem);
        json.WriteString("programVersion", programVersion);
        json.WriteString("caution", BuildFile.Caution);
        json.WriteString("reason", Word(result.Reason));
        json.WriteNumber("evaluations", result.Evaluations);
        json.WriteNumber("evaluationBudget", problem.Effort.Evaluations);
        if (result.EndedAtEvaluations is { } ended)
        {
            json.WriteNumber("endedAtEvaluations", ended);
        }

        json.WriteNumber("seed", result.Seed);
        json.WriteNumber("layoutsTried", result.LayoutsTried);
        json.WriteFinite("layoutsAllowed", result.LayoutsAllowed);
        json.WriteFinite("layoutsNotReached", result.LayoutsNotReached);
        Left(json, "exclusions", result.Exclusions);
        Left(json, "givenUp", result.GivenUp);
        json.WriteStartObject("confidence");
        Confidence(json, "values", result.Values);
        Confidence(json, "layouts", result.Layouts);
        json.WriteEndObject();
        if (RobustRanking.Words(result.Builds) is { } words)
        {
            json.WriteStartObject("robust");
            json.WriteString("words", words);
            json.WriteBoolean("winnerIsNominal", result.Builds[0].Robust!.NominalRank == 1);
            json.WriteEndObject();
        }

        json.WriteStartArray("fronts");
        foreach (TradeOffFront front in TradeOffFronts.Of(result.Builds))
        {
            json.WriteLine(line =>
            {
                line.WriteString("name", front.Name);
                line.WriteString("x", front.X);
                line.WriteString("y", front.Y);
                line.WriteStartArray("ranks");
                foreach (int rank in front.Ranks)
                {
                    line.WriteNumberValue(rank);
                }

                line.WriteEndArray();
            });
        }

        json.WriteEndArray();
        json.WriteStartArray("builds");
        foreach (RankedBuild build in result.Builds)
        {
            json.WriteLine(line => Row(line, build));
        }

        json.WriteEndArray();
    });

    private static void Left(Utf8JsonWriter json, string name, IReadOnlyList<Exclusion> layouts)
    {
        json.WriteStartArray(name);
        foreach (Exclusion exclusion in layouts)
        {
            json.WriteLine(line =>
            {
                line.WriteString("reason", exclusion.Reason);
                line.WriteFinite("layouts", exclusion.Layouts);
            });
        }

        json.WriteEndArray();
    }

    private static void Confidence(Utf8JsonWriter json, string name, SearchConfidence? confidence)
    {
        json.WritePropertyName(name);
        if (confidence is null)
        {
            json.WriteNullValue();
            return;
        }

        json.WriteLine(line =>
        {
            line.WriteNumber("starts", confidence.Starts);
            line.WriteNumber("inBest", confidence.InBest);
            line.WriteNumber("optima", confidence.Optima);
            line.WriteFinite("expectedOptima", confidence.ExpectedOptima);
            line.WriteFinite("coveredShare", confidence.CoveredShare);
            line.WriteFinite("chanceOfNew", confidence.ChanceOfNew);
            line.WriteString("words", confidence.Words);
        });
    }

    private static void Row(Utf8JsonWriter json, RankedBuild build)
    {
        BuildFigures figures = build.Figures;
        json.WriteNumber("rank", build.Rank);
        json.WriteString("file", BuildPath(build.Rank));
        json.WriteFinite("cost", build.Cost.Total);
        json.WriteFinite("relaxedCost", build.RelaxedCost);
        json.WriteFinite("snappingLossPercent", build.SnappingLossPercent);
        json.WriteBoolean("feasible", build.Feasible);
        json.WriteFinite("magnitudeRmsDb", figures.MagnitudeRmsDb);
        json.WriteFinite("magnitudeMaxDb", figures.MagnitudeMaxDb);
        json.WriteFinite("phaseMaxDeg", figures.PhaseMaxDeg);
        json.WriteFinite("arrivalSpreadUs", figures.ArrivalSpreadUs);
        json.WriteFinite("summingLossDb", figures.SummingLossDb);
        json.WriteFinite("splAt100mV", figures.SplAt100mV);
        json.WriteFinite("impedanceMinOhm", figures.ImpedanceMinOhm);
        json.WriteAmount("partsCost", figures.PartsCost);
        json.WriteNumber("receivers", figures.Receivers);
        json.WriteText("key", build.Key);
        if (build.Robust is { } robust)
        {
            json.WriteStartObject("robust");
            json.WriteNumber("nominalRank", robust.NominalRank);
            json.WriteFinite("score", robust.Score);
            json.WriteFinite("nominalCost", robust.NominalCost);
            json.WriteFinite("expectedCost", robust.ExpectedCost);
            json.WriteFinite("spreadCost", robust.SpreadCost?.Value);
            json.WriteFinite("earsCost", robust.EarsCost);
            json.WriteFinite("sourcesCost", robust.SourcesCost);
            json.WriteFinite("yield", robust.Yield?.Value);
            json.WriteFinite("yieldError", robust.Yield?.StandardError);
            json.WriteFinite("behind", robust.Behind?.Value);
            json.WriteFinite("behindError", robust.Behind?.StandardError);
            json.WriteEndObject();
        }
    }
}
