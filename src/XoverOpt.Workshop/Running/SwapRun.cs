using System.Diagnostics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>A swap with the time it took.</summary>
/// <param name="Rank">Its place among the swaps, 1 is best.</param>
/// <param name="Result">What came of it, its build bearing the same rank.</param>
/// <param name="Seconds">Wall time of it alone, s.</param>
public sealed record TimedSwap(int Rank, SwapResult Result, double Seconds);

/// <summary>Tries the nearest receivers in the place of one that is out, on some threads. The result has the same bits for any number of them.</summary>
public static class SwapRun
{
    /// <summary>Most receivers tried at once.</summary>
    public const int Most = 50;

    /// <summary>Tried unless told otherwise.</summary>
    public const int UsualNearest = 5;

    /// <summary>Swaps, best first in the order builds are ranked in.</summary>
    /// <param name="swaps">The build and its candidates.</param>
    /// <param name="nearest">How many of them.</param>
    /// <param name="threads">Threads that work at once.</param>
    /// <param name="stop">Breaks it off.</param>
    /// <exception cref="OperationCanceledException">It was broken off.</exception>
    public static IReadOnlyList<TimedSwap> Of(ReceiverSwaps swaps, int nearest, int threads, CancellationToken stop = default)
    {
        SwapCandidate[] candidates = [.. swaps.Candidates.Take(nearest)];
        var tried = new (SwapResult Result, double Seconds)[candidates.Length];
        Parallel.For(0, candidates.Length, new ParallelOptions { MaxDegreeOfParallelism = threads, CancellationToken = stop }, i =>
        {
            long began = Stopwatch.GetTimestamp();
            SwapResult result = swaps.Swap(candidates[i]);
            tried[i] = (result, Stopwatch.GetElapsedTime(began).TotalSeconds);
        });
        return [.. tried.OrderBy(swap => swap.Result.Build, BuildRanking.Order).ThenBy(swap => swap.Result.Candidate.Nearness)
            .Select((swap, index) => new TimedSwap(index + 1, swap.Result with { Build = swap.Result.Build with { Rank = index + 1 } }, swap.Seconds))];
    }
}
