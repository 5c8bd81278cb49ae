using System.Text.Json;
using System.Text.Json.Serialization;

namespace XoverOpt.Search.Tests;

/// <summary>Drives a search the way a worker does: evaluate the oldest batch on some threads, tell in order.</summary>
internal static class SearchRunner
{
    public static readonly JsonSerializerOptions Json = new() { NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals };

    public static LayoutSearch Run(LayoutSearch search, int threads = 2)
    {
        while (!search.Done)
        {
            Step(search, threads);
        }

        return search;
    }

    public static void Step(LayoutSearch search, int threads = 2)
    {
        IReadOnlyList<Trial> trials = search.Outstanding[0].Trials;
        var results = new TrialResult[trials.Count];
        Parallel.For(0, results.Length, new ParallelOptions { MaxDegreeOfParallelism = threads }, i => results[i] = search.Evaluate(trials[i]));
        search.Tell(results);
    }

    /// <summary>Everything about a result as text; doubles are written so that they read back to the same bits.</summary>
    public static string Text(SearchResult result) => JsonSerializer.Serialize(result, Json);

    /// <summary>The same of a search, with its state.</summary>
    public static string Text(LayoutSearch search) => JsonSerializer.Serialize(search.Result(), Json) + JsonSerializer.Serialize(search.Save(), Json);

    public static LayoutSearch Resumed(LayoutSearch search)
    {
        string saved = JsonSerializer.Serialize(search.Save(), Json);
        return new LayoutSearch(search.Problem, JsonSerializer.Deserialize<SearchState>(saved, Json)!);
    }
}
