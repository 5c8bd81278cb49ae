using System.Numerics;
using XoverOpt.Acoustics.Tests;

namespace XoverOpt.Search.Tests;

/// <summary>
/// Certified least squares of the NIST Statistical Reference Datasets (tests/data/nist-strd), from both published starts, to 6 digits.
/// Parameters run on a log scale, as network parts do in the search, over a box three times as wide as the way from start to certified
/// value (at least a factor of e): the answer lies inside, and the step at which a descent stops, 1e-7 of the box, is fine enough. Derivatives are by a complex step (W. Squire and G. Trapp, SIAM Review
/// 40 (1998)).
/// </summary>
public class NistRegressionTests
{
    [Theory]
    [InlineData("Misra1a")]
    [InlineData("BoxBOD")]
    [InlineData("Rat43")]
    [InlineData("Thurber")]
    [InlineData("Eckerle4")]
    [InlineData("MGH09")]
    [InlineData("MGH10")]
    [InlineData("MGH17")]
    [InlineData("Bennett5")]
    public void Descend_FromBothPublishedStarts_ReachesTheCertifiedValues(string set)
    {
        ReferenceTable.Row[] certified = [.. ReferenceTable.Read("nist-strd", "nist_strd_certified.csv").Rows.Where(row => row.Text("dataset") == set)];
        (double X, double Y)[] data = [.. ReferenceTable.Read("nist-strd", "nist_strd_data.csv").Rows
            .Where(row => row.Text("dataset") == set)
            .Select(row => (row.Number("x"), row.Number("y")))];
        Assert.Equal((int)certified[0].Number("n_obs"), data.Length);

        foreach (string start in new[] { "start1", "start2" })
        {
            (double rss, double[] b, int used) = Fit(set, certified, data, start);

            double parameters = certified.Select((row, i) => Math.Abs((b[i] / row.Number("certified")) - 1)).Max();
            double sum = Math.Abs((rss / certified[0].Number("certified_RSS")) - 1);
            TestContext.Current.TestOutputHelper?.WriteLine($"{set} {start}: parameters {parameters:G3}, sum of squares {sum:G3}, {used} evaluations");
            Assert.True(parameters <= 1e-6 && sum <= 1e-6, $"{set} {start}: parameters off by {parameters:G3}, sum of squares by {sum:G3}, {used} evaluations");
        }
    }

    private static (double Rss, double[] B, int Used) Fit(string set, ReferenceTable.Row[] certified, (double X, double Y)[] data, string start)
    {
        double[] low = new double[certified.Length], span = new double[certified.Length], sign = new double[certified.Length], unit = new double[certified.Length];
        for (int i = 0; i < unit.Length; i++)
        {
            double to = certified[i].Number("certified");
            sign[i] = Math.Sign(to);
            double from = Math.Log(sign[i] * certified[i].Number(start)), end = Math.Log(sign[i] * to);
            span[i] = Math.Max(3 * Math.Abs(from - end), 1);
            low[i] = ((from + end) / 2) - (span[i] / 2);
            unit[i] = (from - low[i]) / span[i];
        }

        double Objective(ReadOnlySpan<double> at, NormalEquations equations)
        {
            Complex[] b = new Complex[at.Length];
            for (int i = 0; i < b.Length; i++)
            {
                b[i] = sign[i] * Math.Exp(low[i] + (span[i] * at[i]));
            }

            equations.Reset(b.Length);
            double sum = 0;
            double[] row = new double[b.Length];
            foreach ((double x, double y) in data)
            {
                double residual = NistModels.Value(set, b, x).Real - y;
                for (int i = 0; i < b.Length; i++)
                {
                    Complex was = b[i];
                    double h = 1e-30 * was.Real;
                    b[i] = new(was.Real, h);
                    row[i] = NistModels.Value(set, b, x).Imaginary / 1e-30 * span[i];
                    b[i] = was;
                }

                equations.Add(residual, row);
                sum += residual * residual;
            }

            return double.IsNaN(sum) ? double.PositiveInfinity : sum;
        }

        LevenbergMarquardt.Outcome outcome = LevenbergMarquardt.Descend(Objective, unit, 5000, 0);
        return (outcome.Cost, [.. unit.Select((u, i) => sign[i] * Math.Exp(low[i] + (span[i] * u)))], outcome.Evaluations);
    }
}
