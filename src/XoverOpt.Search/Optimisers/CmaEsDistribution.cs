namespace XoverOpt.Search;

/// <summary>The normal distribution of a <see cref="CmaEs"/> and how it learns from a ranked generation (the tutorial, figure 6).</summary>
internal sealed class CmaEsDistribution
{
    private readonly CmaEsRates _rates;
    private readonly int _n;
    private readonly int _lambda;
    private readonly double[][] _normals;
    private readonly double[][] _steps;

    public CmaEsDistribution(CmaEsState state)
    {
        (_n, _lambda) = (state.Settings.Dimensions, state.Settings.Lambda);
        _rates = new(_n, _lambda);
        (Mean, Sigma) = ([.. state.Mean], state.Sigma);
        (StepPath, CovariancePath) = ([.. state.StepPath], [.. state.CovariancePath]);
        (Covariance, Axes, Lengths) = ([.. state.Covariance], [.. state.Axes], [.. state.Lengths]);
        (Generation, Decomposed) = (state.Generation, state.Decomposed);
        _normals = [.. Enumerable.Range(0, _lambda).Select(_ => new double[_n])];
        _steps = [.. Enumerable.Range(0, _lambda).Select(_ => new double[_n])];
    }

    public double[] Mean { get; }

    public double Sigma { get; private set; }

    public double[] StepPath { get; }

    public double[] CovariancePath { get; }

    public double[] Covariance { get; }

    public double[] Axes { get; }

    public double[] Lengths { get; }

    public long Generation { get; private set; }

    public long Decomposed { get; private set; }

    /// <summary>Draws a point of the generation: m + σ·B·D·z, folded into [0, 1].</summary>
    public double[] Sample(Random64 random, int index)
    {
        double[] z = _normals[index], y = _steps[index], point = new double[_n];
        for (int i = 0; i < _n; i++)
        {
            z[i] = random.NextNormal();
        }

        Array.Clear(y);
        for (int k = 0; k < _n; k++)
        {
            Add(y, Axes.AsSpan(k * _n, _n), Lengths[k] * z[k]);
        }

        for (int i = 0; i < _n; i++)
        {
            point[i] = Fold(Mean[i] + (Sigma * y[i]));
        }

        return point;
    }

    /// <summary>Learns from the points drawn last.</summary>
    /// <param name="order">The points from best to worst.</param>
    /// <returns>False if the covariance is no longer sound.</returns>
    public bool Update(int[] order)
    {
        Generation++;
        double[] y = new double[_n], z = new double[_n], turned = new double[_n];
        for (int rank = 0; rank < _rates.Parents; rank++)
        {
            Add(y, _steps[order[rank]], _rates.Weights[rank]);
            Add(z, _normals[order[rank]], _rates.Weights[rank]);
        }

        // C^(−1/2)·y is B·z, as y is B·D·z.
        for (int k = 0; k < _n; k++)
        {
            Add(turned, Axes.AsSpan(k * _n, _n), z[k]);
        }

        double cs = _rates.StepPath, cc = _rates.CovariancePath, length = 0;
        for (int i = 0; i < _n; i++)
        {
            Mean[i] += Sigma * y[i];
            StepPath[i] = ((1 - cs) * StepPath[i]) + (Math.Sqrt(cs * (2 - cs) * _rates.MuEff) * turned[i]);
            length += StepPath[i] * StepPath[i];
        }

        length = Math.Sqrt(length);
        double settled = Math.Sqrt(1 - Math.Pow(1 - cs, 2 * Generation));
        bool longPath = length / settled >= (1.4 + (2 / (_n + 1.0))) * _rates.NormalLength;
        for (int i = 0; i < _n; i++)
        {
            CovariancePath[i] = ((1 - cc) * CovariancePath[i]) + (longPath ? 0 : Math.Sqrt(cc * (2 - cc) * _rates.MuEff) * y[i]);
        }

        UpdateCovariance(order, longPath ? cc * (2 - cc) : 0);
        Sigma *= Math.Exp(Math.Min(1, cs / _rates.Damping * ((length / _rates.NormalLength) - 1)));
        Sigma = Math.Min(Sigma, 1 / Math.Sqrt(Enumerable.Range(0, _n).Max(i => Covariance[(i * _n) + i])));
        return Generation - Decomposed < _rates.GenerationsADecomposition || Decompose();
    }

    /// <summary>Whether steps have become too small to go on.</summary>
    /// <param name="tolerance">Standard deviations below this are none.</param>
    public OptimiserStop? Stop(double tolerance)
    {
        bool small = true, lost = false, lostAxis = true;
        int axis = (int)(Generation % _n);
        for (int i = 0; i < _n; i++)
        {
            double deviation = Sigma * Math.Sqrt(Covariance[(i * _n) + i]);
            small &= deviation < tolerance && Math.Abs(Sigma * CovariancePath[i]) < tolerance;
            lost |= Mean[i] == Mean[i] + (0.2 * deviation);
            lostAxis &= Mean[i] == Mean[i] + (0.1 * Sigma * Lengths[axis] * Axes[(axis * _n) + i]);
        }

        return small ? OptimiserStop.StepTolerance : lost || lostAxis ? OptimiserStop.NoEffect : null;
    }

    /// <summary>Reflection at 0 and 1, again and again.</summary>
    private static double Fold(double value)
    {
        double turn = Math.Abs(value) % 2;
        return turn <= 1 ? turn : 2 - turn;
    }

    private static void Add(Span<double> sum, ReadOnlySpan<double> x, double factor)
    {
        for (int i = 0; i < sum.Length; i++)
        {
            sum[i] += factor * x[i];
        }
    }

    private void UpdateCovariance(int[] order, double lost)
    {
        double keep = 1 + (_rates.RankOne * lost) - _rates.RankOne - (_rates.RankMu * _rates.WeightSum);
        double[] factors = new double[_lambda];
        for (int rank = 0; rank < _lambda; rank++)
        {
            // A negative weight is scaled by the length of its step, so that C stays positive.
            double weight = _rates.Weights[rank];
            factors[rank] = _rates.RankMu * (weight >= 0 ? weight : weight * _n / _normals[order[rank]].Sum(value => value * value));
        }

        for (int i = 0; i < _n; i++)
        {
            for (int j = 0; j <= i; j++)
            {
                double sum = (keep * Covariance[(i * _n) + j]) + (_rates.RankOne * CovariancePath[i] * CovariancePath[j]);
                for (int rank = 0; rank < _lambda; rank++)
                {
                    double[] step = _steps[order[rank]];
                    sum += factors[rank] * step[i] * step[j];
                }

                Covariance[(i * _n) + j] = Covariance[(j * _n) + i] = sum;
            }
        }
    }

    private bool Decompose()
    {
        double[] values = new double[_n];
        if (!SymmetricEigen.Decompose(Covariance, Axes, values) || !(values.Min() > 0) || values.Max() > 1e14 * values.Min())
        {
            return false;
        }

        for (int i = 0; i < _n; i++)
        {
            Lengths[i] = Math.Sqrt(values[i]);
        }

        Decomposed = Generation;
        return true;
    }
}
