namespace XoverOpt.Search;

/// <summary>A figure from samples, and its standard error.</summary>
public readonly record struct SpreadEstimate(double Value, double StandardError)
{
    /// <summary>
    /// A share of <paramref name="hits"/> among <paramref name="count"/>. The error is taken at the share with two hits and two misses
    /// added (A. Agresti and B. A. Coull, The American Statistician 52 (1998) 119–126), so that none or all of them is not held to be certain.
    /// </summary>
    public static SpreadEstimate Share(int hits, int count)
    {
        double near = (hits + 2.0) / (count + 4.0);
        return new((double)hits / count, Math.Sqrt(near * (1 - near) / (count + 4)));
    }

    /// <summary>A mean.</summary>
    public static SpreadEstimate Mean(ReadOnlySpan<double> values)
    {
        (double mean, double square, _) = Moments(values);
        return new(mean, Math.Sqrt(square / values.Length));
    }

    /// <summary>A standard deviation s; its error is √(m₄ − s⁴)/(2 s √n), m₄ being the fourth central moment (delta method).</summary>
    public static SpreadEstimate Deviation(ReadOnlySpan<double> values)
    {
        (_, double square, double fourth) = Moments(values);
        double s = Math.Sqrt(square);
        return new(s, s == 0 ? 0 : Math.Sqrt(Math.Max(fourth - (square * square), 0) / values.Length) / (2 * s));
    }

    /// <summary>
    /// A quantile of sorted values: the one of rank ⌈p n⌉. The error is half the distance between those √(n p (1 − p)) ranks below and
    /// above, which are one standard deviation of the rank away (H. A. David and H. N. Nagaraja, Order Statistics, 2003, 7.1).
    /// </summary>
    public static SpreadEstimate Quantile(ReadOnlySpan<double> sorted, double p)
    {
        int n = sorted.Length, rank = Math.Clamp((int)Math.Ceiling(p * n) - 1, 0, n - 1), apart = Math.Max((int)Math.Round(Math.Sqrt(n * p * (1 - p))), 1);
        return new(sorted[rank], 0.5 * (sorted[Math.Min(rank + apart, n - 1)] - sorted[Math.Max(rank - apart, 0)]));
    }

    private static (double Mean, double Square, double Fourth) Moments(ReadOnlySpan<double> values)
    {
        double mean = 0, square = 0, fourth = 0;
        foreach (double value in values)
        {
            mean += value / values.Length;
        }

        foreach (double value in values)
        {
            double d = (value - mean) * (value - mean);
            square += d / (values.Length - 1);
            fourth += d * d / values.Length;
        }

        return (mean, square, fourth);
    }
}
