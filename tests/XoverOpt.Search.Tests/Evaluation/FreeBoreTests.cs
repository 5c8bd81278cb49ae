using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search.Tests;

/// <summary>Bores as values like the others.</summary>
public class FreeBoreTests
{
    // A free bore held at a choice is the layout with that bore: 3e-12 allows for the ends of the interpolation, which round differently.
    [Fact]
    public void Candidate_FreeBoreHeldAtAChoice_CostsWhatTheLayoutWithThatBoreCosts()
    {
        Problem problem = SmallProblem.ThreeWay();
        var space = new LayoutSpace(problem);
        var tables = new ProblemTables(problem, 12);
        var workspace = new CostWorkspace(tables);
        var random = new Random64(8);
        for (int trial = 0; trial < 10; trial++)
        {
            Layout layout = space.Draw(random)!;
            Candidate exact = new(tables, space, layout), free = new(tables, space, layout, relaxBores: true);
            Assert.Equal(exact.Ranges.Length + 2, free.Ranges.Length);
            double[] unit = [.. exact.Ranges.Select(_ => random.NextDouble())];
            exact.SetAll(unit);
            int next = 0;
            free.SetAll([.. free.Ranges.Select(range => range.Parameter.Kind == ParameterKind.Bore ? 0.4 : unit[next++])]);
            for (int q = 0; q < free.Ranges.Length; q++)
            {
                if (free.Ranges[q].Parameter.Kind == ParameterKind.Bore)
                {
                    free.Hold(q, space.Option(layout, free.Ranges[q].Parameter.Way).Bore);
                }
            }

            double expected = CostFunction.Evaluate(exact, workspace, null).Cost.Total;
            Assert.Equal(expected, CostFunction.Evaluate(free, workspace, null).Cost.Total, 3e-12 * expected);
        }
    }

    // Against fourth-order central differences of the cost, as in CostDerivativeTests; values near a kink tell themselves and are left out.
    [Fact]
    public void Gradient_ByABore_IsHalfThatOfTheCost()
    {
        Problem problem = SmallProblem.ThreeWay() with { Limits = new Limits { MinImpedance = 30, MinSplAt100mV = 118, MinPeakSpl = [new(50, 135), new(1000, 135)] } };
        var space = new LayoutSpace(problem);
        var tables = new ProblemTables(problem, 12);
        var workspace = new CostWorkspace(tables);
        var equations = new NormalEquations();
        var random = new Random64(9);
        int compared = 0, all = 0;
        for (int trial = 0; trial < 25; trial++)
        {
            var candidate = new Candidate(tables, space, space.Draw(random)!, relaxBores: true);
            double[] at = [.. candidate.Ranges.Select(_ => 0.1 + (0.8 * random.NextDouble()))];
            candidate.SetAll(at);
            CostFunction.Evaluate(candidate, workspace, equations);
            double[] gradient = equations.Gradient.ToArray();
            double size = gradient.Max(Math.Abs);
            for (int p = 0; p < at.Length; p++)
            {
                if (candidate.Ranges[p].Parameter.Kind != ParameterKind.Bore)
                {
                    continue;
                }

                double coarse = Half(p, 4e-4), fine = Half(p, 2e-4);
                all++;
                if (Math.Abs(coarse - fine) < 5e-6 * size)
                {
                    compared++;
                    Assert.Equal(fine, gradient[p], 1e-5 * size);
                }
            }

            double Half(int p, double h)
            {
                double Cost(double shift)
                {
                    double[] moved = [.. at];
                    moved[p] += shift;
                    candidate.SetAll(moved);
                    return CostFunction.Evaluate(candidate, workspace, null).Cost.Total;
                }

                return (Cost(-2 * h) - (8 * Cost(-h)) + (8 * Cost(h)) - Cost(2 * h)) / (24 * h);
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"{compared} of {all} compared.");
        Assert.True(all >= 50 && compared >= 0.95 * all, $"{compared} of {all} compared.");
    }
}
