namespace XoverOpt.Search;

/// <summary>Weights and learning rates of a <see cref="CmaEs"/>: the default parameters of the tutorial, its table 1, with α_cov = 2.</summary>
internal sealed class CmaEsRates
{
    /// <summary>For n values and λ points a generation.</summary>
    public CmaEsRates(int n, int lambda)
    {
        double[] raw = [.. Enumerable.Range(1, lambda).Select(i => Math.Log((lambda + 1) / 2.0) - Math.Log(i))];
        Parents = lambda / 2;
        double Effective(IEnumerable<double> part) => part.Sum() * part.Sum() / part.Sum(w => w * w);
        MuEff = Effective(raw.Take(Parents));
        double muEffNegative = Effective(raw.Skip(Parents));

        CovariancePath = (4 + (MuEff / n)) / (n + 4 + (2 * MuEff / n));
        StepPath = (MuEff + 2) / (n + MuEff + 5);
        Damping = 1 + (2 * Math.Max(0, Math.Sqrt((MuEff - 1) / (n + 1)) - 1)) + StepPath;
        RankOne = 2 / (((n + 1.3) * (n + 1.3)) + MuEff);
        RankMu = Math.Min(1 - RankOne, 2 * (0.25 + MuEff - 2 + (1 / MuEff)) / (((n + 2.0) * (n + 2)) + MuEff));

        double positive = raw.Where(w => w > 0).Sum(), negative = -raw.Where(w => w < 0).Sum();
        double scale = Math.Min(
            1 + (RankOne / RankMu),
            Math.Min(1 + (2 * muEffNegative / (MuEff + 2)), (1 - RankOne - RankMu) / (n * RankMu)));
        Weights = [.. raw.Select(w => w >= 0 ? w / positive : w * Math.Max(scale, 0) / negative)];
        WeightSum = Weights.Sum();
        NormalLength = Math.Sqrt(n) * (1 - (1 / (4.0 * n)) + (1 / (21.0 * n * n)));
        GenerationsADecomposition = (long)Math.Max(1, 1 / (10 * n * (RankOne + RankMu)));
    }

    /// <summary>μ, the points that move the mean.</summary>
    public int Parents { get; }

    /// <summary>μ_eff.</summary>
    public double MuEff { get; }

    /// <summary>c_c.</summary>
    public double CovariancePath { get; }

    /// <summary>c_σ.</summary>
    public double StepPath { get; }

    /// <summary>d_σ.</summary>
    public double Damping { get; }

    /// <summary>c₁.</summary>
    public double RankOne { get; }

    /// <summary>c_μ.</summary>
    public double RankMu { get; }

    /// <summary>w of the ranks from best to worst; those of the worse half are not positive.</summary>
    public double[] Weights { get; }

    /// <summary>Their sum.</summary>
    public double WeightSum { get; }

    /// <summary>Expected length of a standard normal vector.</summary>
    public double NormalLength { get; }

    /// <summary>The covariance is taken apart after so many generations (the tutorial, B.2).</summary>
    public long GenerationsADecomposition { get; }
}
