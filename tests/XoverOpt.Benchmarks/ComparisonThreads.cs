using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;
using XoverOpt.Search;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Benchmarks;

/// <summary>
/// <c>threads</c>: how much faster two threads search than one, in turns in one run, and whether 1, 2 and 8 threads find the same to the
/// last bit: every build, figure and cost, and the whole state of the search.
/// </summary>
internal static class ComparisonThreads
{
    private static readonly int[] Both = [1, 2], All = [1, 2, 8];
    private static readonly JsonSerializerOptions EveryDigit = new() { NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals };

    /// <summary>Runs it; 2 when the results differ.</summary>
    public static int Run(string[] arguments)
    {
        var options = new ComparisonOptions(arguments, "--evaluations", "--rounds");
        long evaluations = (long)options.Number("--evaluations", 200_000);
        int rounds = (int)options.Number("--rounds", 3);
        Problem problem = options.Problem with { Effort = options.Problem.Effort with { Evaluations = evaluations, Minutes = null } };
        Console.WriteLine(ComparisonTable.Where("compare.sh threads " + string.Join(' ', arguments)));

        // One small search first, so that everything is compiled.
        Rate(problem with { Effort = problem.Effort with { Evaluations = 20_000 } }, 2);
        var best = new Dictionary<int, double> { [1] = 0, [2] = 0 };
        for (int round = 0; round < rounds; round++)
        {
            foreach (int threads in Both)
            {
                double rate = Rate(problem, threads);
                best[threads] = Math.Max(best[threads], rate);
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{threads} threads: {rate:0} evaluations/s"));
            }
        }

        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"Two threads do {best[2] / best[1]:0.00} times what one does (best of {rounds} rounds each)."));
        string[] found = [.. All.Select(threads => Found(problem, threads))];
        bool same = found.All(text => text == found[0]);
        Console.WriteLine(same ? "1, 2 and 8 threads found the same, bit for bit." : "1, 2 and 8 threads did NOT find the same.");
        return same ? 0 : 2;
    }

    private static double Rate(Problem problem, int threads)
    {
        long start = Stopwatch.GetTimestamp();
        SearchResult result = new SearchRun(problem, new RunPace { Threads = threads }, TimeProvider.System).Run(CancellationToken.None);
        return result.Evaluations / Stopwatch.GetElapsedTime(start).TotalSeconds;
    }

    /// <summary>Everything that a search found and its state at the end, as text with every digit.</summary>
    private static string Found(Problem problem, int threads)
    {
        SearchState? state = null;
        var run = new SearchRun(problem, new RunPace { Threads = threads, CheckpointEvery = TimeSpan.Zero }, TimeProvider.System)
        {
            OnCheckpoint = checkpoint => state = checkpoint.State,
        };
        SearchResult result = run.Run(CancellationToken.None);
        return JsonSerializer.Serialize(
            new
            {
                result.Evaluations,
                result.LayoutsTried,
                Builds = result.Builds.Select(build => new { build.Rank, build.Key, build.Cost, build.RelaxedCost, build.Figures, build.Violation }),
                State = state ?? throw new InvalidOperationException("The search left no state."),
            },
            EveryDigit);
    }
}
