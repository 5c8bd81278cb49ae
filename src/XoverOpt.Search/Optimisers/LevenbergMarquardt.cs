namespace XoverOpt.Search;

/// <summary>
/// Bounded least squares: Levenberg–Marquardt with steps projected on the unit cube (C. Kanzow, N. Yamashita and M. Fukushima,
/// J. Comput. Appl. Math. 172 (2004) 375–397), values that press against a bound left out of the step, and damping scaled and
/// adapted after J. J. Moré (1978) and H. B. Nielsen (1999). Deterministic.
/// </summary>
public static class LevenbergMarquardt
{
    /// <summary>Where a descent ended.</summary>
    /// <param name="Cost">The cost there.</param>
    /// <param name="Evaluations">Evaluations used.</param>
    /// <param name="Converged">No step of notable size or gain was left; otherwise the evaluations were used up.</param>
    public readonly record struct Outcome(double Cost, int Evaluations, bool Converged);

    /// <summary>A sum of squares: its value at a point, and its equations there.</summary>
    public delegate double Objective(ReadOnlySpan<double> point, NormalEquations equations);

    /// <summary>Descends from <paramref name="point"/>, which is moved to the best point found.</summary>
    /// <param name="objective">The sum of squares, to be smallest.</param>
    /// <param name="point">Start and end, each value in [0, 1].</param>
    /// <param name="evaluations">Most evaluations.</param>
    /// <param name="tolerance">Stops when a step gains less than this share of the cost.</param>
    public static Outcome Descend(Objective objective, Span<double> point, int evaluations, double tolerance) =>
        Descend(objective, point, evaluations, tolerance, new(), new());

    /// <summary>The same with the caller's equations to work in, so that nothing is allocated.</summary>
    /// <param name="objective">The sum of squares, to be smallest.</param>
    /// <param name="point">Start and end, each value in [0, 1].</param>
    /// <param name="evaluations">Most evaluations.</param>
    /// <param name="tolerance">Stops when a step gains less than this share of the cost.</param>
    /// <param name="here">Scratch.</param>
    /// <param name="there">Scratch, another one.</param>
    public static Outcome Descend(
        Objective objective, Span<double> point, int evaluations, double tolerance, NormalEquations here, NormalEquations there)
    {
        int n = point.Length;
        double cost = objective(point, here);
        int used = 1;
        if (n == 0)
        {
            return new(cost, used, true);
        }

        Span<double> step = stackalloc double[n], trial = stackalloc double[n], factor = stackalloc double[n * n];
        double damping = 1e-2, growth = 2;
        int small = 0;
        while (used < evaluations)
        {
            if (!Solve(here, point, damping, factor, step))
            {
                damping *= 4;
                if (damping > 1e10)
                {
                    return new(cost, used, true);
                }

                continue;
            }

            double longest = 0;
            for (int i = 0; i < n; i++)
            {
                trial[i] = Math.Clamp(point[i] + step[i], 0, 1);
                step[i] = trial[i] - point[i];
                longest = Math.Max(longest, Math.Abs(step[i]));
            }

            if (longest < 1e-7)
            {
                return new(cost, used, true);
            }

            double promised = Promise(here, step);
            double value = objective(trial, there);
            used++;
            double gain = cost - value;
            if (gain > 0)
            {
                bool slight = gain < tolerance * cost;
                trial.CopyTo(point);
                (here, there) = (there, here);
                cost = value;
                double fit = promised > 0 ? gain / promised : 0;
                double t = (2 * fit) - 1;
                damping = Math.Max(damping * Math.Max(0.2, 1 - (t * t * t)), 1e-9);
                growth = 2;
                small = slight ? small + 1 : 0;
                if (small == 2)
                {
                    return new(cost, used, true);
                }
            }
            else
            {
                damping *= growth;
                growth *= 2;
                if (damping > 1e10)
                {
                    return new(cost, used, true);
                }
            }
        }

        return new(cost, used, false);
    }

    /// <summary>What the quadratic model says a step gains.</summary>
    private static double Promise(NormalEquations equations, ReadOnlySpan<double> step)
    {
        int n = step.Length;
        double gain = 0;
        for (int i = 0; i < n; i++)
        {
            double row = equations.Matrix[(i * n) + i] * step[i];
            for (int j = 0; j < i; j++)
            {
                row += 2 * equations.Matrix[(i * n) + j] * step[j];
            }

            gain -= step[i] * ((2 * equations.Gradient[i]) + row);
        }

        return gain;
    }

    /// <summary>(JᵀJ + damping·D) step = −Jᵀr over the values that do not press against a bound, by Cholesky; false if not positive.</summary>
    private static bool Solve(NormalEquations equations, ReadOnlySpan<double> point, double damping, Span<double> factor, Span<double> step)
    {
        int n = point.Length;
        ReadOnlySpan<double> a = equations.Matrix, g = equations.Gradient;
        double largest = 0;
        for (int i = 0; i < n; i++)
        {
            largest = Math.Max(largest, a[(i * n) + i]);
        }

        for (int i = 0; i < n; i++)
        {
            bool pressed = (point[i] <= 0 && g[i] > 0) || (point[i] >= 1 && g[i] < 0);
            for (int j = 0; j <= i; j++)
            {
                bool other = (point[j] <= 0 && g[j] > 0) || (point[j] >= 1 && g[j] < 0);
                double sum = pressed || other
                    ? (i == j ? 1 : 0)
                    : a[(i * n) + j] + (i == j ? damping * (a[(i * n) + i] + (1e-3 * largest) + 1e-12) : 0);
                for (int k = 0; k < j; k++)
                {
                    sum -= factor[(i * n) + k] * factor[(j * n) + k];
                }

                if (i == j)
                {
                    if (!(sum > 0))
                    {
                        return false;
                    }

                    factor[(i * n) + i] = Math.Sqrt(sum);
                }
                else
                {
                    factor[(i * n) + j] = sum / factor[(j * n) + j];
                }
            }

            step[i] = pressed ? 0 : -g[i];
        }

        for (int i = 0; i < n; i++)
        {
            for (int k = 0; k < i; k++)
            {
                step[i] -= factor[(i * n) + k] * step[k];
            }

            step[i] /= factor[(i * n) + i];
        }

        for (int i = n - 1; i >= 0; i--)
        {
            for (int k = i + 1; k < n; k++)
            {
                step[i] -= factor[(k * n) + i] * step[k];
            }

            step[i] /= factor[(i * n) + i];
        }

        return true;
    }
}
