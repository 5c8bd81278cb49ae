using System.Text.Json.Nodes;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Reads back what <see cref="ResultFile"/> wrote of a search, for a report on a run that is kept.</summary>
public static class ResultFileReader
{
    /// <summary>The result, with the builds that belong to it.</summary>
    /// <param name="json">A result file of this program.</param>
    /// <param name="builds">Its builds, best first; the file itself has their figures only.</param>
    /// <exception cref="InvalidDataException">Not such a file.</exception>
    public static SearchResult Read(string json, IReadOnlyList<RankedBuild> builds)
    {
        try
        {
            JsonNode result = JsonNode.Parse(json)!;
            return new SearchResult(
                builds,
                Enum.GetValues<StopReason>().First(reason => ResultFile.Word(reason) == (string?)result["reason"]),
                (long)result["evaluations"]!,
                (long)result["layoutsTried"]!,
                Number(result["layoutsAllowed"]),
                Left(result["exclusions"]!),
                (ulong)result["seed"]!)
            {
                GivenUp = Left(result["givenUp"]!),
                Values = Confidence(result["confidence"]!["values"], ConfidenceKind.Values),
                Layouts = Confidence(result["confidence"]!["layouts"], ConfidenceKind.Layouts),
            };
        }
        catch (Exception failure) when (failure is System.Text.Json.JsonException or NullReferenceException or InvalidOperationException or FormatException)
        {
            throw new InvalidDataException($"not a result file of this program: {failure.Message}", failure);
        }
    }

    private static Exclusion[] Left(JsonNode layouts) =>
        [.. layouts.AsArray().Select(item => new Exclusion((string)item!["reason"]!, Number(item["layouts"])))];

    private static SearchConfidence? Confidence(JsonNode? at, ConfidenceKind kind) => at is null
        ? null
        : new SearchConfidence(
            kind, (int)at["starts"]!, (int)at["inBest"]!, (int)at["optima"]!, (double?)at["expectedOptima"], (double?)at["coveredShare"]);

    // What is not finite is written as null; the only such number here is a count of layouts too large for a double.
    private static double Number(JsonNode? at) => (double?)at ?? double.PositiveInfinity;
}
