namespace XoverOpt.Search.Tests;

/// <summary>Snapping against every build that a layout with short lists can become.</summary>
public class StockSnapTests
{
    // A search of its own, not an enumeration: it may miss, but seldom, and not by much. Lists this short are the hardest, since steps are long.
    [Fact]
    public void Run_LayoutsWithShortLists_FindsTheBestOfAllBuildsOfMost()
    {
        Problem problem = Short();
        var space = new LayoutSpace(problem);
        var tables = new ProblemTables(problem, 12);
        CostWorkspace workspace = new(tables), fine = new(tables);
        var random = new Random64(3);
        int exact = 0, exactNarrow = 0;
        const int Layouts = 12;
        for (int trial = 0; trial < Layouts; trial++)
        {
            Layout layout = Where(space, random, networkOfLow: trial % 2);
            var candidate = new Candidate(tables, space, layout);
            double[] unit = BestOfStarts(candidate, workspace, random);
            (double best, int builds) = BestOfAll(candidate, workspace);

            (int[] wide, int evaluations) = StockSnap.Run(workspace, fine, space, layout, unit, 16, 12);
            (int[] narrow, int fewer) = StockSnap.Run(workspace, fine, space, layout, unit, 4, 12);

            double found = Cost(candidate, workspace, wide), foundNarrow = Cost(candidate, workspace, narrow);
            TestContext.Current.TestOutputHelper?.WriteLine($"{builds} builds, best {best:G6}; wide {found:G6} in {evaluations}, narrow {foundNarrow:G6} in {fewer} evaluations.");
            Assert.InRange(found, best * (1 - 1e-12), 1.2 * best);
            Assert.True(foundNarrow >= best * (1 - 1e-12));
            Assert.InRange(fewer, 1, evaluations);
            exact += found <= best * (1 + 1e-12) ? 1 : 0;
            exactNarrow += foundNarrow <= best * (1 + 1e-12) ? 1 : 0;
        }

        Assert.True(exact >= 10 && exactNarrow >= 10, $"The best of all builds was found for {exact} (wide) and {exactNarrow} (narrow) of {Layouts} layouts.");
    }

    // Nothing to go by where the cost cannot be computed: it must still end, with a choice in every list.
    [Fact]
    public void Run_StartThatIsNoNumber_StillGivesABuild()
    {
        Problem problem = Short();
        var space = new LayoutSpace(problem);
        var tables = new ProblemTables(problem, 24);
        Layout layout = space.At(0);
        var candidate = new Candidate(tables, space, layout);

        (int[] choices, _) = StockSnap.Run(
            new CostWorkspace(tables), new CostWorkspace(tables), space, layout, [.. candidate.Ranges.Select(_ => double.NaN)], 4, 12);

        Assert.True(double.IsFinite(Cost(candidate, new CostWorkspace(tables), choices)));
    }

    private static Problem Short()
    {
        Problem problem = SmallProblem.TwoWay();
        StockValue[] Every(IReadOnlyList<StockValue> list, int step) => [.. list.Where((_, i) => i % step == 0)];
        return problem with
        {
            TubeStep = 3e-3,
            Passives = new(Every(problem.Passives.Resistors, 3), Every(problem.Passives.Capacitors, 3), []),
            Ways = [.. problem.Ways.Select(way => way with { TubeMin = 9e-3, TubeMax = 18e-3, Dampers = Every(way.Dampers, 2) })],
        };
    }

    private static Layout Where(LayoutSpace space, Random64 random, int networkOfLow)
    {
        while (true)
        {
            Layout layout = space.Draw(random)!;
            if (space.Option(layout, 0).Network == networkOfLow)
            {
                return layout;
            }
        }
    }

    private static double[] BestOfStarts(Candidate candidate, CostWorkspace workspace, Random64 random)
    {
        double least = double.PositiveInfinity;
        double[] best = [];
        for (int start = 0; start < 8; start++)
        {
            candidate.SetAll([.. candidate.Ranges.Select(_ => random.NextDouble())]);
            double cost = Descent.Run(candidate, workspace, 60).Cost;
            (least, best) = cost < least ? (cost, [.. candidate.Unit]) : (least, best);
        }

        return best;
    }

    private static double Cost(Candidate candidate, CostWorkspace workspace, int[] choices)
    {
        for (int q = 0; q < choices.Length; q++)
        {
            candidate.Hold(q, choices[q]);
        }

        return CostFunction.Evaluate(candidate, workspace, null).Cost.Total;
    }

    private static (double Best, int Builds) BestOfAll(Candidate candidate, CostWorkspace workspace)
    {
        int[] counts = [.. candidate.Ranges.Select(range => range.Choices.Count)], choices = new int[counts.Length];
        double best = double.PositiveInfinity;
        int builds = 0;
        for (int q = 0; q < counts.Length;)
        {
            best = Math.Min(best, Cost(candidate, workspace, choices));
            builds++;
            for (q = 0; q < counts.Length && ++choices[q] == counts[q]; q++)
            {
                choices[q] = 0;
            }
        }

        return (best, builds);
    }
}
