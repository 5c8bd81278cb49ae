using System.Diagnostics;

namespace XoverOpt.Benchmarks;

/// <summary>Times short pieces of arithmetic.</summary>
internal static class ComparisonClock
{
    /// <summary>µs a call, the least of several rounds of about 50 ms: what disturbs a round only makes it longer.</summary>
    public static double Microseconds(Action action) => Microseconds([action])[0];

    /// <summary>The same of several actions, in turns, so that what slows the machine for a while slows all of them.</summary>
    public static double[] Microseconds(params IReadOnlyList<Action> actions)
    {
        // As many calls as it takes to be compiled for good, and to know how many fill a round.
        int[] calls = [.. actions.Select(action => Math.Max((int)(50_000 / Round(action, 500)), 1))];
        double[] least = [.. actions.Select(_ => double.PositiveInfinity)];
        for (int round = 0; round < 12; round++)
        {
            for (int i = 0; i < least.Length; i++)
            {
                least[i] = Math.Min(least[i], Round(actions[i], calls[i]));
            }
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
