using System.Runtime.Intrinsics;
using MathNet.Numerics.Integration;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// The minimum phase that belongs to a magnitude: the gain–phase integral on log frequency u = ln ω (H. W. Bode, Network Analysis and
/// Feedback Amplifier Design, 1945),
/// <code>φ(u₀) = (1/π) ∫ (d ln|p|/du) ln coth(|u − u₀|/2) du.</code>
/// On a grid that is even on log frequency it is one fixed matrix times ln|p|. Between points ln|p| is the Catmull–Rom cubic through
/// four neighbours and the kernel is integrated exactly against it; beyond the grid the mean slope of the outermost octave goes on for ever.
/// </summary>
public sealed class MinimumPhase
{
    private readonly int _count;
    private readonly double[] _rows;

    /// <summary>Prepares the matrix of a standard grid.</summary>
    /// <exception cref="ArgumentException">The grid is not even on log frequency.</exception>
    public MinimumPhase(FrequencyGrid grid)
    {
        if (grid.PointsPerOctave == 0)
        {
            throw new ArgumentException("The minimum phase needs a grid that is even on log frequency.", nameof(grid));
        }

        _count = grid.Count;
        _rows = Matrix(grid.Count, Math.Log(2) / grid.PointsPerOctave, grid.PointsPerOctave);
    }

    /// <summary>φ = H ln|p|, radians, for rows [<paramref name="from"/>, <paramref name="to"/>); the rest of <paramref name="phase"/> is untouched.</summary>
    public void Apply(ReadOnlySpan<double> logMagnitude, Span<double> phase, int from, int to)
    {
        for (int row = from; row < to; row++)
        {
            phase[row] = Dot(_rows.AsSpan(row * _count, _count), logMagnitude);
        }
    }

    /// <summary>
    /// H applied to many vectors: rows [<paramref name="from"/>, <paramref name="to"/>) of every one of <paramref name="vectors"/>
    /// consecutive vectors in <paramref name="logMagnitudes"/>, each of the grid's length.
    /// </summary>
    public void ApplyMany(ReadOnlySpan<double> logMagnitudes, Span<double> phases, int vectors, int from, int to)
    {
        int n = _count;
        for (int row = from; row < to; row++)
        {
            ReadOnlySpan<double> h = _rows.AsSpan(row * n, n);
            int v = 0;
            for (; v + 4 <= vectors; v += 4)
            {
                ReadOnlySpan<double> x0 = logMagnitudes.Slice(v * n, n), x1 = logMagnitudes.Slice((v + 1) * n, n);
                ReadOnlySpan<double> x2 = logMagnitudes.Slice((v + 2) * n, n), x3 = logMagnitudes.Slice((v + 3) * n, n);
                Vector256<double> s0 = default, s1 = default, s2 = default, s3 = default;
                for (int k = 0; k < n; k += 4)
                {
                    Vector256<double> hk = Vector256.Create(h.Slice(k, 4));
                    s0 = Vector256.FusedMultiplyAdd(hk, Vector256.Create(x0.Slice(k, 4)), s0);
                    s1 = Vector256.FusedMultiplyAdd(hk, Vector256.Create(x1.Slice(k, 4)), s1);
                    s2 = Vector256.FusedMultiplyAdd(hk, Vector256.Create(x2.Slice(k, 4)), s2);
                    s3 = Vector256.FusedMultiplyAdd(hk, Vector256.Create(x3.Slice(k, 4)), s3);
                }

                phases[(v * n) + row] = Sum(s0);
                phases[((v + 1) * n) + row] = Sum(s1);
                phases[((v + 2) * n) + row] = Sum(s2);
                phases[((v + 3) * n) + row] = Sum(s3);
            }

            for (; v < vectors; v++)
            {
                phases[(v * n) + row] = Dot(h, logMagnitudes.Slice(v * n, n));
            }
        }
    }

    /// <summary>y = Hᵀ c over rows [<paramref name="from"/>, <paramref name="to"/>): how a weighted sum of phases depends on ln|p|.</summary>
    public void ApplyTransposed(ReadOnlySpan<double> c, Span<double> y, int from, int to)
    {
        y.Clear();
        for (int row = from; row < to; row++)
        {
            if (c[row] == 0)
            {
                continue;
            }

            ReadOnlySpan<double> h = _rows.AsSpan(row * _count, _count);
            var weight = Vector256.Create(c[row]);
            for (int k = 0; k < _count; k += 4)
            {
                Vector256.FusedMultiplyAdd(weight, Vector256.Create(h.Slice(k, 4)), Vector256.Create<double>(y.Slice(k, 4))).CopyTo(y.Slice(k, 4));
            }
        }
    }

    private static double Dot(ReadOnlySpan<double> h, ReadOnlySpan<double> x)
    {
        Vector256<double> s0 = default, s1 = default;
        int k = 0;
        for (; k + 8 <= h.Length; k += 8)
        {
            s0 = Vector256.FusedMultiplyAdd(Vector256.Create(h.Slice(k, 4)), Vector256.Create(x.Slice(k, 4)), s0);
            s1 = Vector256.FusedMultiplyAdd(Vector256.Create(h.Slice(k + 4, 4)), Vector256.Create(x.Slice(k + 4, 4)), s1);
        }

        for (; k < h.Length; k += 4)
        {
            s0 = Vector256.FusedMultiplyAdd(Vector256.Create(h.Slice(k, 4)), Vector256.Create(x.Slice(k, 4)), s0);
        }

        return Sum(s0 + s1);
    }

    // A fixed order, whatever the machine's width.
    private static double Sum(Vector256<double> s) => (s[0] + s[2]) + (s[1] + s[3]);

    private static double[] Matrix(int n, double step, int octave)
    {
        var rows = new double[n * n];
        double[][] moments = [.. Enumerable.Range(-n, 2 * n).Select(offset => Moments(offset, step))];
        double wholeSide = Math.PI * Math.PI / 4;
        for (int row = 0; row < n; row++)
        {
            Span<double> h = rows.AsSpan(row * n, n);
            double below = wholeSide, above = wholeSide;
            for (int cell = 0; cell < n - 1; cell++)
            {
                double[] m = moments[cell - row + n];
                if (cell >= row)
                {
                    above -= m[0] * step;
                }
                else
                {
                    below -= m[0] * step;
                }

                // Catmull–Rom slope on the cell, t in [0, 1]: dx/dt = s₀ + (6Δ − 4s₀ − 2s₁)t + (3s₀ + 3s₁ − 6Δ)t².
                double onDifference = (6 * m[1]) - (6 * m[2]), onStart = m[0] - (4 * m[1]) + (3 * m[2]), onEnd = (-2 * m[1]) + (3 * m[2]);
                h[cell + 1] += onDifference / Math.PI;
                h[cell] -= onDifference / Math.PI;
                AddSlope(h, cell, onStart / Math.PI);
                AddSlope(h, cell + 1, onEnd / Math.PI);
            }

            double perNeper = 1 / (Math.PI * octave * step);
            h[octave] += below * perNeper;
            h[0] -= below * perNeper;
            h[n - 1] += above * perNeper;
            h[n - 1 - octave] -= above * perNeper;
        }

        return rows;
    }

    private static void AddSlope(Span<double> h, int k, double weight)
    {
        int from = Math.Max(k - 1, 0), to = Math.Min(k + 1, h.Length - 1);
        h[to] += weight / (to - from);
        h[from] -= weight / (to - from);
    }

    /// <summary>∫₀¹ t^p ln coth(|offset + t|·step/2) dt for p = 0, 1, 2; the logarithm's pole at either end is integrated in closed form.</summary>
    private static double[] Moments(int offset, double step)
    {
        var moments = new double[3];
        for (int p = 0; p < 3; p++)
        {
            int power = p;
            if (offset is not 0 and not -1)
            {
                moments[p] = GaussLegendreRule.Integrate(t => Math.Pow(t, power) * LogCoth(Math.Abs(offset + t) * step / 2), 0, 1, 32);
                continue;
            }

            // −ln|offset + t| has the moments below; what is left is smooth.
            moments[p] = GaussLegendreRule.Integrate(
                t =>
                {
                    double v = Math.Abs(offset + t);
                    return Math.Pow(t, power) * (LogCoth(v * step / 2) + Math.Log(v));
                },
                0,
                1,
                32);
            moments[p] += offset == 0
                ? 1.0 / ((p + 1) * (p + 1))
                : p switch { 0 => 1, 1 => 0.75, _ => 11.0 / 18 };
        }

        return moments;
    }

    private static double LogCoth(double x) => x > 20 ? 2 * Math.Exp(-2 * x) : -Math.Log(Math.Tanh(x));
}
