using System.Diagnostics;

namespace XoverOpt.Benchmarks;

/// <summary>Times short pieces of arithmetic.</summary>
internal static class ComparisonClock
{
    /// <summary>µs a call, the least of several rounds of about 50 ms: what disturbs a round only makes it longer.</summary>
    public static double Microseconds(Action action)
    {
        // As many calls as it takes to be compiled for good, and to know how many fill a round.
        double once = Round(action, 500);
        int calls = Math.Max((int)(50_000 / once), 1);
        double least = double.PositiveInfinity;
        for (int round = 0; round < 10; round++)
        {
            least = Math.Min(least, Round(action, calls));
        }

        return least;
    }

    private static double Round(Action action, int calls)
    {
        long start = Stopwatch.GetTimestamp();
        for (int i = 0; i < calls; i++)
        {
            action();
        }

        return Stopwatch.GetElapsedTime(start).TotalMicroseconds / calls;
    }
}
