namespace XoverOpt.Search;

/// <summary>
/// Bounded least squares: Levenberg–Marquardt with steps projected on the unit cube (C. Kanzow, N. Yamashita and M. Fukushima,
/// J. Comput. Appl. Math. 172 (2004) 375–397), values that press against a bound left out of the step, and damping scaled and
/// adapted after J. J. Moré (1978) and H. B. Nielsen (1999). Where residuals stay large JᵀJ is not half the Hessian; what it lacks is learnt
/// from the gradients, and used while it foretells better (J. E. Dennis, D. M. Gay and R. E. Welsch, ACM TOMS 7 (1981) 348–368).
/// <para>
/// It ends with: StepTolerance, no value would move by 1e-7 of its range (so it ends too where the slope is nothing, and where nothing is
/// free); CostTolerance, two steps in a row gained less than the tolerance; Damping, not even the strongest damping made a step that lowers
/// the cost; EvaluationsUsed.
/// </para>
/// <para>Deterministic and short: its state is its start, so that a descent is repeated rather than saved half-way.</para>
/// </summary>
public static class LevenbergMarquardt
{
    /// <summary>Where a descent ended.</summary>
    /// <param name="Cost">The cost there.</param>
    /// <param name="Evaluations">Evaluations used.</param>
    /// <param name="Stopped">Why it ended.</param>
    public readonly record struct Outcome(double Cost, int Evaluations, OptimiserStop Stopped)
    {
        /// <summary>It ended by itself, not because the evaluations were used up.</summary>
        public bool Converged => Stopped != OptimiserStop.EvaluationsUsed;
    }

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
            return new(cost, used, OptimiserStop.StepTolerance);
        }

        Span<double> step = stackalloc double[n], trial = stackalloc double[n], factor = stackalloc double[n * n];
        Span<double> bend = stackalloc double[n * n], rest = stackalloc double[n];
        bend.Clear();
        bool bent = false;
        double damping = 1e-2, growth = 2;
        int small = 0;
        while (used < evaluations)
        {
            if (!Solve(here, bent ? bend : [], point, damping, factor, step))
            {
                // With what was learnt the matrix may be indefinite; JᵀJ alone is not, but for rounding.
                if (bent)
                {
                    bent = false;
                    continue;
                }

                damping *= 4;
                if (damping > 1e10)
                {
                    return new(cost, used, OptimiserStop.Damping);
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

            if (longest < 1e-7 && bent)
            {
                (bent, damping) = (false, Math.Min(damping, 1e-2));
                bend.Clear();
                continue;
            }

            if (longest < 1e-7)
            {
                return new(cost, used, OptimiserStop.StepTolerance);
            }

            double straight = Promise(here, [], step), curved = Promise(here, bend, step), promised = bent ? curved : straight;
            double value = objective(trial, there);
            used++;
            double gain = cost - value;
            if (double.IsFinite(value))
            {
                // Whichever model foretold this step better makes the next.
                bent = Math.Abs(curved - gain) < Math.Abs(straight - gain);
                Bend(here, there, step, bend, rest);
            }

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
                    return new(cost, used, OptimiserStop.CostTolerance);
                }
            }
            else
            {
                damping *= growth;
                growth *= 2;
                if (damping > 1e10)
                {
                    return new(cost, used, OptimiserStop.Damping);
                }
            }
        }

        return new(cost, used, OptimiserStop.EvaluationsUsed);
    }

    /// <summary>
    /// Learns S, the part of half the Hessian that JᵀJ lacks (Σ r ∇²r), from how the gradient changed along a step: a symmetric rank-one
    /// update towards S·step = Δ(Jᵀr) − JᵀJ·step, after S is scaled down where it is too large along the step.
    /// </summary>
    private static void Bend(NormalEquations here, NormalEquations there, ReadOnlySpan<double> step, Span<double> bend, Span<double> rest)
    {
        int n = step.Length;
        double wanted = 0, had = 0, stepLength = 0;
        Span<double> change = stackalloc double[n];
        for (int i = 0; i < n; i++)
        {
            double byMatrix = 0, byBend = 0;
            for (int j = 0; j < n; j++)
            {
                byMatrix += there.Matrix[(Math.Max(i, j) * n) + Math.Min(i, j)] * step[j];
                byBend += bend[(i * n) + j] * step[j];
            }

            change[i] = there.Gradient[i] - here.Gradient[i] - byMatrix;
            rest[i] = byBend;
            wanted += step[i] * change[i];
            had += step[i] * byBend;
            stepLength += step[i] * step[i];
        }

        double size = had != 0 ? Math.Min(1, Math.Abs(wanted / had)) : 1, along = 0, length = 0;
        for (int i = 0; i < n; i++)
        {
            rest[i] = change[i] - (size * rest[i]);
            along += rest[i] * step[i];
            length += rest[i] * rest[i];
        }

        bool take = Math.Abs(along) > 1e-8 * Math.Sqrt(length * stepLength);
        for (int i = 0; i < n * n; i++)
        {
            bend[i] = (size * bend[i]) + (take ? rest[i / n] * rest[i % n] / along : 0);
        }
    }

    /// <summary>What the quadratic model says a step gains.</summary>
    private static double Promise(NormalEquations equations, ReadOnlySpan<double> bend, ReadOnlySpan<double> step)
    {
        int n = step.Length;
        double gain = 0;
        for (int i = 0; i < n; i++)
        {
            double row = (equations.Matrix[(i * n) + i] + (bend.IsEmpty ? 0 : bend[(i * n) + i])) * step[i];
            for (int j = 0; j < i; j++)
            {
                row += 2 * (equations.Matrix[(i * n) + j] + (bend.IsEmpty ? 0 : bend[(i * n) + j])) * step[j];
            }

            gain -= step[i] * ((2 * equations.Gradient[i]) + row);
        }

        return gain;
    }

    /// <summary>(JᵀJ + S + damping·D) step = −Jᵀr over the values that do not press against a bound, by Cholesky; false if not positive.</summary>
    private static bool Solve(NormalEquations equations, ReadOnlySpan<double> bend, ReadOnlySpan<double> point, double damping, Span<double> factor, Span<double> step)
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
                    : a[(i * n) + j] + (bend.IsEmpty ? 0 : bend[(i * n) + j]) + (i == j ? damping * (a[(i * n) + i] + (1e-3 * largest) + 1e-12) : 0);
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
