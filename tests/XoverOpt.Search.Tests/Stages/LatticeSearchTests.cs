using MathNet.Numerics.LinearAlgebra;

namespace XoverOpt.Search.Tests;

/// <summary>Lattice search against trying every combination, with the other values at their best by MathNet's linear algebra.</summary>
public class LatticeSearchTests
{
    [Theory]
    [InlineData(1, 1)]
    [InlineData(3, 3)]
    [InlineData(4, 2)]
    [InlineData(6, 3)]
    [InlineData(7, 5)]
    public void Best_RandomModels_AreThoseOfEveryCombinationTried(int values, int listed)
    {
        var random = new Random(values * 10);
        for (int trial = 0; trial < 25; trial++)
        {
            var jacobian = Matrix<double>.Build.Dense(values + 3, values, (_, _) => (2 * random.NextDouble()) - 1);
            Matrix<double> b = jacobian.TransposeThisAndMultiply(jacobian);
            Vector<double> g = Vector<double>.Build.Dense(values, _ => (2 * random.NextDouble()) - 1);
            double[][] lists = [.. Enumerable.Range(0, listed).Select(_ => Uneven(random))];
            (int[] Choices, double Cost)[] all = [.. Combinations(lists).Select(choices => (choices, Least(b, g, choices, lists))).OrderBy(pair => pair.Item2)];

            List<LatticeSearch.Point> found = LatticeSearch.Best(b.ToRowMajorArray(), g.ToArray(), lists, 7);

            Assert.Equal(Math.Min(7, all.Length), found.Count);
            double ground = g.DotProduct(b.Cholesky().Solve(g));
            for (int i = 0; i < found.Count; i++)
            {
                // The ridge of 1e-9 on the diagonal shows in the excess, and may swap combinations that are as good as equal.
                Assert.Equal(all[i].Cost + ground, found[i].Excess, 1e-5 * (1 + found[i].Excess));
                Assert.Equal(all[i].Cost, Least(b, g, found[i].Choices, lists), 1e-5 * (1 + found[i].Excess));
            }

            Assert.Distinct(found.Select(point => string.Join(' ', point.Choices)));
        }
    }

    [Fact]
    public void Best_MoreAskedThanThereAre_GivesEachOnce()
    {
        List<LatticeSearch.Point> found = LatticeSearch.Best([2, 0, 0.5, 1], [0.1, -0.3], [[-1, 0, 2], [-0.5, 0.5]], 100);

        Assert.Equal(6, found.Select(point => (point.Choices[0], point.Choices[1])).Distinct().Count());
        Assert.Equal(6, found.Count);
    }

    // What the model is blind to costs nothing, so that every choice of it is as good.
    [Fact]
    public void Best_ModelBlindToAValue_StillChoosesTheOther()
    {
        List<LatticeSearch.Point> found = LatticeSearch.Best([0, 0, 0, 1], [0, -0.6], [[-1, 1], [0, 0.5, 1]], 2);

        Assert.Equal([1, 1], found.Select(point => point.Choices[1]));
        Assert.All(found, point => Assert.Equal(0.01, point.Excess, 1e-6));
    }

    [Theory]
    [InlineData(double.NaN, 0)]
    [InlineData(1, double.PositiveInfinity)]
    public void Best_ModelThatIsNoNumber_HasNone(double matrix, double gradient) =>
        Assert.Empty(LatticeSearch.Best([matrix], [gradient], [[0, 1]], 3));

    private static double[] Uneven(Random random) =>
        [.. Enumerable.Range(0, 2 + random.Next(4)).Select(_ => (3 * random.NextDouble()) - 1.5).Order()];

    private static IEnumerable<int[]> Combinations(double[][] lists) => lists.Aggregate(
        (IEnumerable<int[]>)[[]],
        (heads, list) => heads.SelectMany(head => Enumerable.Range(0, list.Length).Select(choice => (int[])[.. head, choice])));

    /// <summary>2 gᵀd + dᵀB d with the last values chosen and the first at their best.</summary>
    private static double Least(Matrix<double> b, Vector<double> g, int[] choices, double[][] lists)
    {
        int n = g.Count, free = n - choices.Length;
        Vector<double> d = Vector<double>.Build.Dense(n, i => i < free ? 0 : lists[i - free][choices[i - free]]);
        if (free > 0)
        {
            Vector<double> slope = (g + (b * d)).SubVector(0, free);
            d.SetSubVector(0, free, -b.SubMatrix(0, free, 0, free).Cholesky().Solve(slope));
        }

        return (2 * g.DotProduct(d)) + d.DotProduct(b * d);
    }
}
