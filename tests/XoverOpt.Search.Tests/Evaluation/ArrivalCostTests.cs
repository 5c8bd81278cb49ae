namespace XoverOpt.Search.Tests;

/// <summary>What ways cost that arrive apart: from the arrivals themselves, with derivatives, on the finest grid and by the sound paths.</summary>
public class ArrivalCostTests
{
    private const double LimitS = 20e-6;

    [Theory]
    [InlineData(24, false)]
    [InlineData(12, true)]
    [InlineData(6, true)]
    public void Cost_OfThreeWays_IsThatOfItsPairs(int density, bool paths)
    {
        (LayoutSpace space, ProblemTables tables) = Prepare(density, paths, weight: 0.7);
        var workspace = new CostWorkspace(tables);
        var random = new Random64(14);
        int beyond = 0;
        for (int trial = 0; trial < 20; trial++)
        {
            Candidate candidate = SmallProblem.Random(tables, space, random);
            CostFigures figures = CostFunction.Evaluate(candidate, workspace, null);
            double[] arrivals = Arrivals(candidate, workspace, paths);
            double cost = 0, penalty = 0;
            foreach ((int i, int j) in new[] { (0, 1), (0, 2), (1, 2) })
            {
                double apart = Math.Abs(arrivals[i] - arrivals[j]) / LimitS;
                cost += 0.7 * 2 / 3 * apart * apart;
                penalty += 30 * Math.Pow(Math.Max(apart - 0.95, 0), 2);
            }

            Assert.Equal(cost, figures.Cost.Arrival, 1e-9 * cost);
            Assert.Equal(penalty, figures.Cost.Penalty, 1e-9 * (penalty + cost));
            Assert.Equal(arrivals.Max() - arrivals.Min(), figures.ArrivalSpread, 1e-15);
            beyond += penalty > 0 ? 1 : 0;
        }

        Assert.True(beyond >= 5, $"The penalty began in {beyond} only.");
    }

    // For two ways it is the square of how far they are apart, in limits.
    [Fact]
    public void Cost_OfTwoWays_IsTheSpreadSquared()
    {
        Problem problem = SmallProblem.TwoWay() with { Cost = new(0, 0, 1, 0) };
        var tables = new ProblemTables(problem, 24);
        Candidate candidate = SmallProblem.Random(tables, new LayoutSpace(problem), new Random64(2));
        CostFigures figures = CostFunction.Evaluate(candidate, new CostWorkspace(tables), null);

        double expected = Math.Pow(figures.ArrivalSpread / problem.Phase.ArrivalLimit, 2);
        Assert.Equal(expected, figures.Cost.Arrival, 1e-12 * expected);
    }

    // Against differences (see CostSlope); the penalty is on.
    [Theory]
    [InlineData(24, false)]
    [InlineData(12, true)]
    public void Gradient_OfPairsAndTheirPenalty_IsThatOfTheCost(int density, bool paths)
    {
        (LayoutSpace space, ProblemTables tables) = Prepare(density, paths, weight: 1);
        var workspace = new CostWorkspace(tables);
        var random = new Random64(15);
        int compared = 0, all = 0;
        double worst = 0;
        for (int trial = 0; trial < 12; trial++)
        {
            var candidate = new Candidate(tables, space, space.Draw(random)!, relaxBores: true);
            double[] at = [.. candidate.Ranges.Select(_ => 0.1 + (0.8 * random.NextDouble()))];
            (double here, int some) = CostSlope.Worst(candidate, workspace, at, 1e-7);
            (worst, compared, all) = (Math.Max(worst, here), compared + some, all + at.Length);
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"{compared} of {all} compared, worst {worst:G3} of the gradient.");
        Assert.True(compared >= 0.8 * all, $"{compared} of {all} compared.");
        Assert.InRange(worst, 0, 1e-7);
    }

    private static (LayoutSpace Space, ProblemTables Tables) Prepare(int density, bool paths, double weight)
    {
        Problem problem = SmallProblem.ThreeWay();
        problem = problem with
        {
            Cost = new(0, 0, weight, 0),
            Target = problem.Target with { ToleranceDb = 1000 },
            Phase = problem.Phase with { LimitDeg = 1e5, ArrivalLimit = LimitS },
        };
        return (new LayoutSpace(problem), new ProblemTables(problem, density, paths));
    }

    /// <summary>By the paths: spout and tube at the speed of sound, by hand; else what the figure for people says.</summary>
    private static double[] Arrivals(Candidate candidate, CostWorkspace workspace, bool paths)
    {
        double[] byPath = [.. candidate.Ways.Select(way => (way.Receiver.Receiver.SpoutLength + way.Lengths[0]) / SmallProblem.Ear.Air.SoundSpeed)];
        if (paths)
        {
            return byPath;
        }

        double[] arrivals = new double[byPath.Length];
        ArrivalCost.Arrivals(byPath, workspace, arrivals);
        return arrivals;
    }
}
