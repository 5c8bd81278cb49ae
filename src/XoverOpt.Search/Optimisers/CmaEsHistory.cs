namespace XoverOpt.Search;

/// <summary>Best and median cost of recent generations, and what they say about ending (the CMA-ES tutorial, B.3).</summary>
internal sealed class CmaEsHistory(int n, int lambda, IEnumerable<double> best, IEnumerable<double> median)
{
    private const int Longest = 20_000;
    private readonly int _short = 10 + (int)Math.Ceiling(30.0 * n / lambda);
    private readonly List<double> _best = [.. best];
    private readonly List<double> _median = [.. median];

    public double[] BestCosts => [.. _best];

    public double[] MedianCosts => [.. _median];

    /// <summary>Adds a generation, its costs from best to worst.</summary>
    public void Add(double[] sorted, long generation)
    {
        _best.Add(sorted[0]);
        _median.Add(sorted[lambda / 2]);
        int excess = _best.Count - Window(generation);
        if (excess > 0)
        {
            _best.RemoveRange(0, excess);
            _median.RemoveRange(0, excess);
        }
    }

    /// <summary>What the costs say about ending, after a generation with costs from best to worst.</summary>
    public OptimiserStop? Stop(double[] sorted, double tolerance, long generation)
    {
        if (_best.Count >= _short)
        {
            double[] recent = [.. _best.TakeLast(_short)];
            double low = recent.Min(), high = recent.Max();
            if (low == high)
            {
                return OptimiserStop.Flat;
            }

            if (Math.Max(high, sorted[^1]) - Math.Min(low, sorted[0]) <= tolerance)
            {
                return OptimiserStop.CostTolerance;
            }
        }

        return generation % 10 == 0 && _best.Count == Window(generation) && Stands(_best) && Stands(_median) ? OptimiserStop.Stagnation : null;
    }

    private int Window(long generation) => (int)Math.Clamp(generation / 5, 110 + _short, Longest);

    /// <summary>The median of the last 30 % is not better than that of the first.</summary>
    private static bool Stands(List<double> costs)
    {
        int part = costs.Count * 3 / 10;
        return Median(costs.TakeLast(part)) >= Median(costs.Take(part));
    }

    private static double Median(IEnumerable<double> costs) => costs.Order().ElementAt(costs.Count() / 2);
}
