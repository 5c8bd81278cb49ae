namespace XoverOpt.Search;

/// <summary>A part's share of the spread.</summary>
/// <param name="Role">The part, as <see cref="SpreadPart.Role"/>.</param>
/// <param name="Share">Share of the variance, 0 to 1.</param>
public sealed record VarianceShare(string Role, SpreadEstimate Share);

/// <summary>
/// Which parts drive the spread of the response. At each frequency the level, less the offset the target takes out, is regressed on each
/// part's deviation alone, which suffices as the parts vary independently:
/// <code>
/// S_j = Σ_k w_k Cov(e_k, d_j)²/Var(d_j) / Σ_k w_k Var(e_k)        w: weights of the magnitude error
/// </code>
/// This is the part's first-order share as far as the response follows it in a straight line (A. Saltelli and others, Global Sensitivity
/// Analysis, 2008, 1.2); what parts do together, or in a curve, is left over. Chance alone would make r² = 1/(n − 1): that is taken out.
/// Standard errors come from twenty parts of the samples.
/// </summary>
public sealed class VarianceShares
{
    private const int Batches = 20;
    private readonly int _parts;
    private readonly int _count;
    private readonly double[] _sums;

    /// <param name="parts">How many parts.</param>
    /// <param name="columns">How many frequencies.</param>
    /// <param name="count">How many units.</param>
    internal VarianceShares(int parts, int columns, int count)
    {
        _parts = parts;
        _count = count;
        _sums = new double[columns * (Batches + 1) * (parts + 1)];
    }

    /// <summary>Takes in one frequency; others may be taken in at the same time.</summary>
    /// <param name="column">Which frequency.</param>
    /// <param name="weight">Its weight.</param>
    /// <param name="values">One value a unit.</param>
    /// <param name="deviations">One deviation a unit, a row a part.</param>
    internal void Take(int column, double weight, ReadOnlySpan<double> values, ReadOnlySpan<double> deviations)
    {
        for (int batch = 0; batch <= Batches; batch++)
        {
            (int from, int to) = batch == Batches ? (0, _count) : (batch * _count / Batches, (batch + 1) * _count / Batches);
            Span<double> sums = _sums.AsSpan(((column * (Batches + 1)) + batch) * (_parts + 1), _parts + 1);
            ReadOnlySpan<double> y = values[from..to];
            int n = to - from;
            (double mean, double variance) = Variance(y);
            sums[_parts] = weight * variance;
            for (int j = 0; j < _parts && variance > 0; j++)
            {
                ReadOnlySpan<double> x = deviations.Slice((j * _count) + from, n);
                (double middle, double own) = Variance(x);
                double even = 0, odd = 0;
                int k = 0;
                for (; k + 1 < n; k += 2)
                {
                    even += (y[k] - mean) * (x[k] - middle);
                    odd += (y[k + 1] - mean) * (x[k + 1] - middle);
                }

                even += k < n ? (y[k] - mean) * (x[k] - middle) : 0;
                double covariance = (even + odd) / (n - 1), square = covariance * covariance / (own * variance);
                sums[j] = weight * variance * (square - ((1 - square) / (n - 2)));
            }
        }
    }

    /// <summary>The shares in the order of the parts, their sum, and the mean variance over the band.</summary>
    internal (SpreadEstimate[] Shares, SpreadEstimate Sum, double Variance) Of()
    {
        double[] totals = new double[(Batches + 1) * (_parts + 1)];
        for (int at = 0; at < _sums.Length; at++)
        {
            totals[at % totals.Length] += _sums[at];
        }

        SpreadEstimate[] shares = [.. Enumerable.Range(0, _parts).Select(j => Estimate(batch => totals[(batch * (_parts + 1)) + j]))];
        SpreadEstimate sum = Estimate(batch =>
        {
            double all = 0;
            for (int j = 0; j < _parts; j++)
            {
                all += totals[(batch * (_parts + 1)) + j];
            }

            return all;
        });
        return (shares, sum, totals[^1]);

        SpreadEstimate Estimate(Func<int, double> above)
        {
            double Share(int batch) => above(batch) / totals[(batch * (_parts + 1)) + _parts];
            double[] apart = [.. Enumerable.Range(0, Batches).Select(Share)];
            return new(totals[^1] > 0 ? Share(Batches) : 0, totals[^1] > 0 ? SpreadEstimate.Mean(apart).StandardError : 0);
        }
    }

    private static (double Mean, double Variance) Variance(ReadOnlySpan<double> values)
    {
        double sum = 0, square = 0;
        foreach (double value in values)
        {
            sum += value;
        }

        double mean = sum / values.Length;
        foreach (double value in values)
        {
            square += (value - mean) * (value - mean);
        }

        return (mean, square / (values.Length - 1));
    }
}
