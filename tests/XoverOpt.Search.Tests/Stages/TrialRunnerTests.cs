using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search.Tests;

/// <summary>Single trials, above all first looks with bores free.</summary>
public class TrialRunnerTests
{
    [Fact]
    public void Run_LookWithFreeBores_GivesALayoutOfTheSameKinWithItsOwnCost()
    {
        Problem problem = SmallProblem.ThreeWay();
        var space = new LayoutSpace(problem);
        var runner = new TrialRunner(problem, space);
        var random = new Random64(41);
        var bores = new HashSet<(int, int)>();
        for (int trial = 0; trial < 20; trial++)
        {
            Layout layout = space.Draw(random)!;
            TrialResult result = runner.Run(new(layout, null, random.Next(), Schedule.Look), TestContext.Current.CancellationToken);
            Layout found = result.Layout!;
            foreach (int way in new[] { 0, 1, 2 })
            {
                Assert.Equal(space.Option(layout, way), space.Option(found, way) with { Bore = space.Option(layout, way).Bore });
            }

            var candidate = new Candidate(runner.Tables(6), space, found);
            Assert.Equal(candidate.Ranges.Length, result.Unit.Length);
            candidate.SetAll(result.Unit);
            Assert.Equal(result.Cost, CostFunction.Evaluate(candidate, new CostWorkspace(runner.Tables(6)), null).Cost.Total);
            bores.Add((space.Option(found, 0).Bore, space.Option(found, 2).Bore));
        }

        Assert.True(bores.Count >= 3, "Bores should come out as the layout needs them.");
    }

    // What a search gives up for a look: rarely one of the layout's bores would have done much better than the one it came to.
    [Fact]
    public void Run_LookWithFreeBores_ComesNearTheBestOfAllBores()
    {
        Problem problem = SmallProblem.ThreeWay();
        var space = new LayoutSpace(problem);
        var runner = new TrialRunner(problem, space);
        var random = new Random64(42);
        var ratios = new List<double>();
        for (int trial = 0; trial < 15; trial++)
        {
            Layout layout = space.Draw(random)!;
            TrialPlan free = new(6, 6, 8, 0, 60, FreeBores: true), given = free with { FreeBores = false };
            double[] each = [.. from low in new[] { 0, 1 } from high in new[] { 0, 1 }
                select runner.Run(new(space.WithBores(layout, new Dictionary<int, int> { [0] = low, [2] = high }), null, 5, given)).Cost];
            ratios.Add(runner.Run(new(layout, null, 5, free), TestContext.Current.CancellationToken).Cost / each.Min());
        }

        TestContext.Current.TestOutputHelper?.WriteLine(string.Join(' ', ratios.Order().Select(ratio => $"{ratio:F3}")));
        Assert.True(ratios.Order().ElementAt(7) < 1.02, "median");
        Assert.True(ratios.Count(ratio => ratio > 1.2) <= 3, "Many looks miss the best bore.");
    }

    // The most values a job may have, and a bore in every way beside them.
    [Fact]
    public void Run_MostValuesAndFreeBores_HasRoomForAll()
    {
        Problem two = SmallProblem.TwoWay();
        SectionShape both = new(SectionPlace.Series, true, true, false);
        int[] parts = [3, 3, 3, 3, 3, 3, 3, 3];
        Assert.Equal(KernelWorkspace.MaxValues, parts.Sum(own => own + 2));
        Problem problem = two with
        {
            Ways = [.. parts.Select((_, i) => two.Ways[1] with { Name = $"w{i}", Receivers = [SmallProblem.Mid1], Networks = [new([both, SmallProblem.SeriesResistor])] })],
        };
        var space = new LayoutSpace(problem);
        var runner = new TrialRunner(problem, space);
        var candidate = new Candidate(runner.Tables(6), space, space.At(0), relaxBores: true);
        Assert.Equal(KernelWorkspace.MaxParameters, candidate.Ranges.Length);

        Assert.True(double.IsFinite(runner.Run(new(space.At(0), null, 1, new(6, 1, 2, 0, 4, FreeBores: true)), TestContext.Current.CancellationToken).Cost));
    }
}
