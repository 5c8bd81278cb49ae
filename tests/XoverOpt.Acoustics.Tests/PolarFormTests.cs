using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Acoustics.Tests;

/// <summary>The vectorised logarithm and angle against those of the framework.</summary>
public class PolarFormTests
{
    [Fact]
    public void Of_EveryDirectionAndManySizes_AgreesWithTheFrameworkToAFewUlp()
    {
        var random = new Random(70);
        double[] angles = [.. Enumerable.Range(0, 4000).Select(_ => Math.PI * ((2 * random.NextDouble()) - 1))];
        foreach (double size in new[] { 1e-12, 1e-3, 1, 20, 1e9 })
        {
            double[] re = [.. angles.Select(a => size * Math.Cos(a))], im = [.. angles.Select(a => size * Math.Sin(a))];
            Check(re, im);
        }
    }

    [Fact]
    public void Of_AxesDiagonalsAndNeighboursOfTheBranch_AgreesWithTheFramework()
    {
        double t = Math.Tan(Math.PI / 8);
        Check([1, -1, 2, -2, 1, -1, 1, -1], [0, 1e-300, -3, 3, 1, 1, -1, -1]);
        Check([0, 0, 1e-9, -1e-9, 5, -5, 5, -5], [4, -4, 1, 1, 3.3, 3.3, 3.3000001, -3.3]);
        Check([1, -1, t, -t, 1, -1, 1, -1], [t, t, 1, 1, -t, -t, 1e-200, -1e-200]);
        Check([-1, -7, -1e-5, -1e5], [0, 0, 0, 0]);
    }

    // ln 0 is −∞; the angle of nothing is taken as 0, as Math.Atan2 does.
    [Fact]
    public void Of_Zero_IsMinusInfinityAtAngleZero()
    {
        double[] log = new double[4], phase = new double[4];
        PolarForm.Of([0, 0, 0, 0], [0, 0, 0, 0], log, phase);

        Assert.All(log, value => Assert.Equal(double.NegativeInfinity, value));
        Assert.All(phase, value => Assert.Equal(0, value));
    }

    private static void Check(double[] re, double[] im)
    {
        double[] log = new double[re.Length], phase = new double[re.Length];
        PolarForm.Of(re, im, log, phase);
        for (int k = 0; k < re.Length; k++)
        {
            double angle = Math.Atan2(im[k], re[k]), logarithm = 0.5 * Math.Log((re[k] * re[k]) + (im[k] * im[k]));
            string at = $" of {re[k]:R} + {im[k]:R}j";

            Agreement.Absolute(angle, phase[k], 3 * Ulp(angle), "angle" + at);

            // Near |z| = 1 the logarithm loses what |z|² has rounded, one ulp of 1.
            Agreement.Absolute(logarithm, log[k], Math.Max(3e-16, 3 * Ulp(logarithm)), "logarithm" + at);
        }
    }

    private static double Ulp(double x) => Math.BitIncrement(Math.Abs(x)) - Math.Abs(x);
}
