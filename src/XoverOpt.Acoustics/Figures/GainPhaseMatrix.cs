using MathNet.Numerics.Integration;

namespace XoverOpt.Acoustics.Figures;

/// <summary>The matrix of <see cref="MinimumPhase"/>, row-major, and its diagonals.</summary>
internal static class GainPhaseMatrix
{
    /// <summary>All of it.</summary>
    /// <param name="n">Grid length.</param>
    /// <param name="step">Step of the grid in ln ω.</param>
    /// <param name="octave">Points an octave.</param>
    public static double[] Of(int n, double step, int octave)
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

    /// <summary>
    /// What it holds at row r and column r + m wherever no edge of the grid is near, at m + n, for m from −n to n: differences of the cells
    /// on either side, and slopes that end in the column from the nodes on either side.
    /// </summary>
    public static double[] Diagonals(int n, double step)
    {
        double[][] moments = [.. Enumerable.Range(-n - 3, (2 * n) + 6).Select(offset => Moments(offset, step))];
        (double Difference, double Start, double End) Cell(int offset)
        {
            double[] m = moments[offset + n + 3];
            return ((6 * m[1]) - (6 * m[2]), m[0] - (4 * m[1]) + (3 * m[2]), (-2 * m[1]) + (3 * m[2]));
        }

        double Node(int offset) => Cell(offset).Start + Cell(offset - 1).End;
        return [.. Enumerable.Range(-n, (2 * n) + 1).Select(m =>
            (Cell(m - 1).Difference - Cell(m).Difference + ((Node(m - 1) - Node(m + 1)) / 2)) / Math.PI)];
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
