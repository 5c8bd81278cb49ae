using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>A story fitted to a measurement.</summary>
/// <param name="Story">The story.</param>
/// <param name="U">Its free value, 0 to 1; NaN where it has none.</param>
/// <param name="Misfit">Q = Σ residual² + Σ deviation², each in standard deviations; about the number of rows for a true story.</param>
/// <param name="LogEvidence">ln of how likely the measurement is under the story, but for a constant that all share.</param>
internal sealed record StoryFit(FaultStory Story, double U, double Misfit, double LogEvidence);

/// <summary>
/// Fits stories: the deviations z of parts and bench, each of mean 0 and variance 1 before measuring, and the free value u of the story, even on
/// [0, 1], minimise
/// <code>
/// Q(z, u) = |r(z, u)|² + |z|²          r the residuals in standard deviations of the bench
/// </code>
/// by damped Gauss–Newton steps with Jacobians by differences. How likely the measurement is under the story, z and u integrated out, is
/// then, with H = JᵀJ + 1 in z and JᵀJ in u at the minimum (Laplace's method: D. J. C. MacKay, Information Theory, Inference, and
/// Learning Algorithms, 2003, chapters 27 and 28),
/// <code>
/// ln E = −Q/2 − ½ ln det H + ½ ln 2π (with a free value)
/// </code>
/// so that a story with a free value pays for what the value could have been and was not.
/// </summary>
internal sealed class StoryFitting
{
    private const int MostSteps = 12;
    private const int MostAttempts = 10;
    private const double DeviationStep = 0.05;
    private const double ValueStep = 0.01;

    private readonly UnitChannels _channels;
    private readonly IReadOnlyList<PartDeviation> _deviations;
    private readonly BuiltUnit _good;
    private readonly int _bench;
    private readonly double[] _screen;

    /// <param name="build">What was to be built.</param>
    /// <param name="spread">How its parts vary.</param>
    /// <param name="channels">What was measured.</param>
    public StoryFitting(Earpiece build, PartSpread spread, UnitChannels channels)
    {
        _channels = channels;
        _deviations = PartDeviation.Of(spread);
        _good = BuiltUnit.Of(build);
        _bench = _deviations.Count;
        Good = channels.Residual(_good);
        Jacobian = Slopes(_good, Good, new double[_bench + channels.Bench.Length]);
        _screen = Normal(Jacobian, _bench + channels.Bench.Length);
        Cholesky.Factor(_screen, Jacobian.Length);
    }

    /// <summary>Residuals of a unit as planned.</summary>
    public double[] Good { get; }

    /// <summary>What one standard deviation of each part and of the bench does to the rows, for a unit as planned.</summary>
    public double[][] Jacobian { get; }

    /// <summary>
    /// −½ times the misfit of a story at a value, deviations taken as those of a unit without fault: rᵀ(1 + JJᵀ)⁻¹r by the matrix
    /// inversion lemma. A first look, good enough to choose where to fit.
    /// </summary>
    public double Screen(FaultStory story, double u)
    {
        double[] r = _channels.Residual(story.Apply(_good, story.Value?.At(u) ?? 0));
        double[] b = [.. Jacobian.Select(column => Dot(column, r))], x = [.. b];
        Cholesky.Solve(_screen, x);
        return -0.5 * (Dot(r, r) - Dot(b, x));
    }

    /// <summary>Fits a story.</summary>
    /// <param name="story">The story.</param>
    /// <param name="start">Where its free value starts, 0 to 1.</param>
    /// <param name="least">
    /// A misfit that others reached: the fit is given up where it stays far above it, by 30 and 5 a row after the first two steps, which may still err,
    /// and by odds of e^−100 after more. Infinite to see it through.
    /// </param>
    public StoryFit Fit(FaultStory story, double start, double least = double.PositiveInfinity)
    {
        bool free = story.Value is not null;
        int deviations = _bench + _channels.Bench.Length, n = deviations + (free ? 1 : 0);
        double[] x = new double[n];
        if (free)
        {
            x[^1] = start;
        }

        (BuiltUnit unit, double[] r) = At(x);
        double q = Misfit(r, x);
        double[][] jacobian = [];
        double damping = 1e-2;
        for (int step = 0; step < MostSteps; step++)
        {
            jacobian = Jacobi(x, unit, r);
            double before = q;
            double[] normal = Normal(jacobian, deviations);
            for (int attempt = 0; attempt < MostAttempts; attempt++)
            {
                double[] next = Step(normal, jacobian, r, x, damping);
                (BuiltUnit nextUnit, double[] nextR) = At(next);
                double nextQ = Misfit(nextR, next);
                if (nextQ < q)
                {
                    (x, unit, r, q) = (next, nextUnit, nextR, nextQ);
                    damping = Math.Max(1e-4, damping / 10);
                    break;
                }

                damping *= 10;
            }

            if (before - q < 0.05 || q > least + (step switch { 0 => 30 * r.Length, 1 => 5 * r.Length, _ => 200 }))
            {
                break;
            }
        }

        return new(story, free ? x[^1] : double.NaN, q, Evidence(Normal(jacobian, deviations), q, free));

        (BuiltUnit, double[]) At(double[] point)
        {
            BuiltUnit at = story.Apply(_good, free ? story.Value!.At(point[^1]) : 0);
            for (int j = 0; j < _bench; j++)
            {
                at = _deviations[j].Apply(at, point[j]);
            }

            double[] residual = _channels.Residual(at);
            for (int j = 0; j < _channels.Bench.Length; j++)
            {
                for (int row = 0; row < residual.Length; row++)
                {
                    residual[row] = _channels.Wrapped(residual[row] - (point[_bench + j] * _channels.Bench[j][row]), row);
                }
            }

            return (at, residual);
        }

        double[][] Jacobi(double[] point, BuiltUnit at, double[] residual)
        {
            double[][] slopes = Slopes(at, residual, point);
            if (!free)
            {
                return slopes;
            }

            double change = point[^1] > 0.5 ? -ValueStep : ValueStep;
            (_, double[] other) = At([.. point[..^1], point[^1] + change]);
            return [.. slopes, Slope(residual, other, change)];
        }

        double[] Step(double[] normal, double[][] slopes, double[] residual, double[] point, double damp)
        {
            double[] g = [.. slopes.Select((column, j) => Dot(column, residual) - (j < deviations ? point[j] : 0))];
            double[] matrix = [.. normal];
            // A value that presses against its end stays there for this step.
            bool held = free && ((point[^1] <= 0 && g[^1] < 0) || (point[^1] >= 1 && g[^1] > 0));
            for (int i = 0; i < n; i++)
            {
                matrix[(i * n) + i] *= 1 + damp;
                if (held)
                {
                    matrix[(i * n) + n - 1] = matrix[((n - 1) * n) + i] = i == n - 1 ? 1 : 0;
                }
            }

            if (held)
            {
                g[^1] = 0;
            }

            Cholesky.Factor(matrix, n);
            Cholesky.Solve(matrix, g);
            double[] next = [.. point.Zip(g, (value, by) => value + by)];
            if (free)
            {
                next[^1] = Math.Clamp(next[^1], Math.Max(0, point[^1] - 0.3), Math.Min(1, point[^1] + 0.3));
            }

            return next;
        }

        double Misfit(double[] residual, double[] point) => Dot(residual, residual) + Dot(point.AsSpan(0, deviations), point.AsSpan(0, deviations));
    }

    private static double Evidence(double[] normal, double q, bool free)
    {
        int n = (int)Math.Round(Math.Sqrt(normal.Length));
        Cholesky.Factor(normal, n);
        double log = -q / 2;
        for (int i = 0; i < n; i++)
        {
            double term = -Math.Log(normal[(i * n) + i]);
            // A value that the data hardly bind cannot be likelier than all its range together.
            log += free && i == n - 1 ? Math.Min(0, term + (0.5 * Math.Log(2 * Math.PI))) : term;
        }

        return log;
    }

    private double[][] Slopes(BuiltUnit unit, double[] residual, double[] point)
    {
        double[][] slopes = new double[_bench + _channels.Bench.Length][];
        for (int j = 0; j < _bench; j++)
        {
            double[] other = _channels.Residual(_deviations[j].Apply(unit, point[j] + DeviationStep, point[j]));
            for (int b = 0; b < _channels.Bench.Length; b++)
            {
                for (int row = 0; row < other.Length; row++)
                {
                    other[row] -= point[_bench + b] * _channels.Bench[b][row];
                }
            }

            slopes[j] = Slope(residual, other, DeviationStep);
        }

        _channels.Bench.CopyTo(slopes, _bench);
        return slopes;
    }

    /// <summary>What is expected rises as the residual falls.</summary>
    private double[] Slope(double[] residual, double[] other, double change) =>
        [.. residual.Select((value, row) => _channels.Wrapped(value - other[row], row) / change)];

    private static double[] Normal(double[][] columns, int deviations)
    {
        int n = columns.Length;
        double[] matrix = new double[n * n];
        for (int i = 0; i < n; i++)
        {
            for (int j = 0; j <= i; j++)
            {
                matrix[(i * n) + j] = matrix[(j * n) + i] = Dot(columns[i], columns[j]) + (i == j ? (i < deviations ? 1 : 1e-6) : 0);
            }
        }

        return matrix;
    }

    private static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        double sum = 0;
        for (int k = 0; k < a.Length; k++)
        {
            sum += a[k] * b[k];
        }

        return sum;
    }
}
