namespace XoverOpt.Search.Tests;

/// <summary>
/// The derivatives of each search figure alone, bores included, against sixth-order central differences of the cost that it makes alone
/// (B. Fornberg, Math. Comp. 51 (1988) 699–706, Table 1), to 1e-7 of the largest part of its gradient. Values near a kink (where a
/// phase is unwrapped, where a penalty begins) tell themselves: differences at two steps disagree. They are left out, and
/// at least nine in ten must be compared.
/// </summary>
public class FigureGradientTests
{
    private const double Tolerance = 1e-7;

    [Theory]
    [InlineData("magnitude")]
    [InlineData("phase")]
    [InlineData("arrival")]
    [InlineData("summing")]
    [InlineData("impedance")]
    [InlineData("sensitivity")]
    [InlineData("peak")]
    public void Gradient_OfOneFigure_IsThatOfItsCost(string figure)
    {
        Problem problem = Only(figure);
        var space = new LayoutSpace(problem);
        var tables = new ProblemTables(problem, 12);
        var workspace = new CostWorkspace(tables);
        var random = new Random64(31);
        int compared = 0, all = 0;
        double worst = 0;
        for (int trial = 0; trial < 20; trial++)
        {
            var candidate = new Candidate(tables, space, space.Draw(random)!, relaxBores: true);
            double[] at = [.. candidate.Ranges.Select(_ => 0.1 + (0.8 * random.NextDouble()))];
            candidate.SetAll(at);
            Assert.True(CostFunction.Evaluate(candidate, workspace, null).Cost.Total > 0, $"{figure} costs nothing");
            (double here, int some) = CostSlope.Worst(candidate, workspace, at, Tolerance);
            (worst, compared, all) = (Math.Max(worst, here), compared + some, all + at.Length);
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"{figure}: {compared} of {all} compared, worst {worst:G3} of the gradient.");
        Assert.True(compared >= 0.9 * all, $"{figure}: only {compared} of {all} could be compared.");
        Assert.True(worst <= Tolerance, $"{figure}: {worst:G3} of the gradient off.");
    }

    private static Problem Only(string figure)
    {
        Problem problem = SmallProblem.ThreeWay();
        double On(string name) => figure == name ? 1 : 0;
        return problem with
        {
            Cost = new(On("magnitude"), On("phase"), On("arrival"), On("summing")),

            // Wide enough that no penalty begins; what the figures then cost is small, but the ratio counts.
            Target = problem.Target with { ToleranceDb = 1000 },
            Phase = problem.Phase with { LimitDeg = 1e5, ArrivalLimit = 1 },
            Limits = figure switch
            {
                "impedance" => new Limits { MinImpedance = 1e4 },
                "sensitivity" => new Limits { MinSplAt100mV = 160 },
                "peak" => new Limits { MinPeakSpl = [new(50, 170), new(1000, 170), new(6000, 170)] },
                _ => new Limits(),
            },
        };
    }
}
