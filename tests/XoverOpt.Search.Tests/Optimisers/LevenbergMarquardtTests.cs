namespace XoverOpt.Search.Tests;

/// <summary>Bounded least squares whose answers are known in closed form.</summary>
public class LevenbergMarquardtTests
{
    // H. H. Rosenbrock, Computer Journal 3 (1960): r = (10(y − x²), 1 − x), smallest at (1, 1); here with x and y from −2 to 2.
    [Theory]
    [InlineData(0.2, 0.8)]
    [InlineData(0.05, 0.05)]
    [InlineData(0.95, 0.1)]
    [InlineData(0.5, 0.5)]
    public void Descend_RosenbrockInABox_FindsOneOne(double x, double y)
    {
        double[] point = [x, y];

        LevenbergMarquardt.Outcome outcome = LevenbergMarquardt.Descend(Rosenbrock(4), point, 500, 0);

        Assert.Equal(OptimiserStop.StepTolerance, outcome.Stopped);
        Assert.Equal(1, (4 * point[0]) - 2, 1e-6);
        Assert.Equal(1, (4 * point[1]) - 2, 1e-6);
    }

    // With x ≤ 1/2 the best is on that bound: y = x² = 1/4, F = (1 − 1/2)².
    [Theory]
    [InlineData(0.1, 0.9)]
    [InlineData(1, 0)]
    [InlineData(0.7, 0.5)]
    public void Descend_RosenbrockWithTheAnswerOutside_EndsOnTheBound(double x, double y)
    {
        double[] point = [x, y];

        LevenbergMarquardt.Outcome outcome = LevenbergMarquardt.Descend(Rosenbrock(2.5), point, 500, 0);

        Assert.Equal(0.25, outcome.Cost, 1e-8);
        Assert.Equal(1, point[0]);
        Assert.Equal(0.25, (2.5 * point[1]) - 2, 1e-6);
    }

    // The optimality conditions of a bounded linear least squares: no slope inside, at a bound a slope that presses outwards.
    [Fact]
    public void Descend_RandomLinearProblemsWithActiveBounds_MeetsTheOptimalityConditions()
    {
        var random = new Random64(8);
        int bounds = 0;
        for (int trial = 0; trial < 50; trial++)
        {
            int n = 2 + random.Below(8), m = n + 3;
            double[][] a = [.. Enumerable.Range(0, m).Select(_ => Enumerable.Range(0, n).Select(_ => random.NextDouble() - 0.5).ToArray())];
            double[] b = [.. a.Select(row => row.Sum(value => value * (2 * random.NextDouble())) + (0.2 * random.NextDouble()))];
            double[] point = [.. Enumerable.Range(0, n).Select(_ => random.NextDouble())];
            double Residual(int i, ReadOnlySpan<double> x)
            {
                double sum = -b[i];
                for (int j = 0; j < n; j++)
                {
                    sum += a[i][j] * x[j];
                }

                return sum;
            }

            LevenbergMarquardt.Descend(
                (x, equations) =>
                {
                    equations.Reset(n);
                    double sum = 0;
                    for (int i = 0; i < m; i++)
                    {
                        double r = Residual(i, x);
                        equations.Add(r, a[i]);
                        sum += r * r;
                    }

                    return sum;
                },
                point,
                1000,
                0);

            for (int j = 0; j < n; j++)
            {
                double slope = Enumerable.Range(0, m).Sum(i => Residual(i, point) * a[i][j]);
                bounds += point[j] is 0 or 1 ? 1 : 0;
                Assert.InRange(point[j], 0, 1);
                Assert.True(
                    point[j] == 0 ? slope > -1e-6 : point[j] == 1 ? slope < 1e-6 : Math.Abs(slope) < 1e-6,
                    $"trial {trial}: slope {slope:G3} at {point[j]:G6}");
            }
        }

        Assert.True(bounds > 30, $"only {bounds} bounds were active");
    }

    [Fact]
    public void Descend_BudgetOfThree_UsesNoMoreAndSaysSo()
    {
        double[] point = [0.1, 0.9];
        LevenbergMarquardt.Outcome outcome = LevenbergMarquardt.Descend(Rosenbrock(4), point, 3, 0);
        Assert.Equal(3, outcome.Evaluations);
        Assert.Equal(OptimiserStop.EvaluationsUsed, outcome.Stopped);
    }

    [Fact]
    public void Descend_NothingFree_IsOneEvaluation()
    {
        LevenbergMarquardt.Outcome outcome = LevenbergMarquardt.Descend((_, _) => 7, [], 10, 0);
        Assert.Equal(new LevenbergMarquardt.Outcome(7, 1, OptimiserStop.StepTolerance), outcome);
    }

    [Fact]
    public void Descend_GainsBelowTheTolerance_EndsByThem()
    {
        double[] point = [0.05, 0.05];
        LevenbergMarquardt.Outcome outcome = LevenbergMarquardt.Descend(Rosenbrock(4), point, 500, 0.999999);
        Assert.Equal(OptimiserStop.CostTolerance, outcome.Stopped);
    }

    // The equations say that the cost falls towards 1, but it rises either way.
    [Fact]
    public void Descend_SlopeThatIsWrong_EndsByDamping()
    {
        double[] point = [0.5];
        LevenbergMarquardt.Outcome outcome = LevenbergMarquardt.Descend(
            (at, equations) =>
            {
                equations.Reset(1);
                equations.Add(-1e3, [1]);
                return 1 + Math.Abs(at[0] - 0.5);
            },
            point,
            500,
            0);
        Assert.Equal(OptimiserStop.Damping, outcome.Stopped);
        Assert.Equal(0.5, point[0]);
    }

    private static LevenbergMarquardt.Objective Rosenbrock(double span) => (at, equations) =>
    {
        double x = (span * at[0]) - 2, y = (span * at[1]) - 2;
        double first = 10 * (y - (x * x)), second = 1 - x;
        equations.Reset(2);
        equations.Add(first, [-20 * x * span, 10 * span]);
        equations.Add(second, [-span, 0]);
        return (first * first) + (second * second);
    };
}
