namespace XoverOpt.Search.Tests;

/// <summary>Moments and shares of the normal distribution: 0, 1, 0, 3; 68.2689 %, 95.4500 % and 99.7300 % within 1, 2 and 3 deviations.</summary>
public class NormalDeviatesTests
{
    // Six standard errors either side: of the mean of xᵏ over n draws, √(Var(xᵏ)/n) with variances 1, 2, 15 and 96.
    [Fact]
    public void NextNormal_ManyDraws_HasTheMomentsAndSharesOfTheNormalDistribution()
    {
        const int Draws = 400_000;
        var random = new Random64(31);
        double[] x = [.. Enumerable.Range(0, Draws).Select(_ => random.NextNormal())];

        Assert.Equal(0, x.Average(), 6 * Math.Sqrt(1.0 / Draws));
        Assert.Equal(1, x.Average(v => v * v), 6 * Math.Sqrt(2.0 / Draws));
        Assert.Equal(0, x.Average(v => v * v * v), 6 * Math.Sqrt(15.0 / Draws));
        Assert.Equal(3, x.Average(v => v * v * v * v), 6 * Math.Sqrt(96.0 / Draws));
        foreach ((double limit, double share) in new[] { (1, 0.682689), (2, 0.954500), (3, 0.997300) })
        {
            Assert.Equal(share, x.Count(v => Math.Abs(v) < limit) / (double)Draws, 6 * Math.Sqrt(share * (1 - share) / Draws));
        }
    }
}
