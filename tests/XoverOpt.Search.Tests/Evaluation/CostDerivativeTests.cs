using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search.Tests;

/// <summary>
/// The derivatives that come with the cost against fourth-order central differences of the cost itself:
/// F' ≈ [F(−2h) − 8F(−h) + 8F(h) − F(2h)]/12h (M. Abramowitz and I. Stegun, Handbook of Mathematical Functions, 25.3.6).
/// <para>
/// The cost has kinks (which of three ways is latest, where a phase is unwrapped) and its second derivative jumps where a penalty begins.
/// The differences tell: taken at two steps they then disagree. Values whose differences disagree by more than half the tolerance
/// are not compared, and at least 95 % must be. The tolerance is 1e-5 of the largest part of the gradient.
/// </para>
/// </summary>
public class CostDerivativeTests
{
    private const double Tolerance = 1e-5;

    public static TheoryData<string> Cases => ["plain", "tolerance", "phase", "arrival", "impedance", "sensitivity", "absolute", "delay removed", "three ways", "peak", "unlike losses"];

    [Theory]
    [MemberData(nameof(Cases))]
    public void Gradient_OfRandomCandidates_IsHalfThatOfTheCost(string name)
    {
        Problem problem = Case(name);
        var space = new LayoutSpace(problem);
        var tables = new ProblemTables(problem, 12);
        var workspace = new CostWorkspace(tables);
        var equations = new NormalEquations();
        var random = new Random64(17);
        int compared = 0, all = 0, active = 0;
        double worst = 0;
        for (int trial = 0; trial < 40; trial++)
        {
            Candidate candidate = SmallProblem.Random(tables, space, random);
            if (random.Below(3) == 0)
            {
                int held = random.Below(candidate.Ranges.Length);
                candidate.Hold(held, random.Below(candidate.Ranges[held].Choices.Count));
            }

            double[] at = candidate.Free();
            active += Active(name, problem, CostFunction.Evaluate(candidate, workspace, equations)) ? 1 : 0;
            double[] gradient = [.. equations.Gradient.ToArray().Select(half => 2 * half)];
            Assert.Equal(at.Length, gradient.Length);
            double size = gradient.Max(Math.Abs);
            for (int p = 0; p < at.Length; p++)
            {
                double coarse = Difference(candidate, workspace, at, p, 4e-4), fine = Difference(candidate, workspace, at, p, 2e-4);
                all++;
                if (Math.Abs(coarse - fine) > Tolerance / 2 * size)
                {
                    continue;
                }

                compared++;
                worst = Math.Max(worst, Math.Abs(fine - gradient[p]) / size);
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"{name}: {compared} of {all} compared, worst {worst:G3} of the gradient, penalty active in {active} of 40.");
        Assert.True(compared >= 0.95 * all, $"{name}: only {compared} of {all} could be compared.");
        Assert.True(worst <= Tolerance, $"{name}: {worst:G3} of the gradient off.");
        Assert.True(active >= 10, $"{name}: what it is about was active in {active} of 40 only.");
    }

    // Where every residual is zero, the Gauss–Newton matrix is half the second derivative, exactly.
    [Fact]
    public void Matrix_WhereTheTargetIsMet_IsHalfTheSecondDerivative()
    {
        Problem start = MagnitudeOnly(SmallProblem.ThreeWay());
        var space = new LayoutSpace(start);
        var random = new Random64(3);
        for (int trial = 0; trial < 5; trial++)
        {
            Layout layout = space.Draw(random)!;
            double[] unit = [.. new Candidate(new ProblemTables(start, 12), space, layout).Ranges.Select(_ => 0.2 + (0.6 * random.NextDouble()))];
            Problem problem = Met(start, space, layout, unit);
            var tables = new ProblemTables(problem, 12);
            var workspace = new CostWorkspace(tables);
            var candidate = new Candidate(tables, space, layout);
            candidate.SetAll(unit);
            var equations = new NormalEquations();
            Assert.InRange(CostFunction.Evaluate(candidate, workspace, equations).Cost.Total, 0, 1e-18);

            int n = unit.Length;
            double[] matrix = equations.Matrix.ToArray();
            double size = Enumerable.Range(0, n).Max(i => matrix[(i * n) + i]);
            double Gradient(int of, int by, double shift)
            {
                double[] moved = [.. unit];
                moved[by] += shift;
                candidate.SetFree(moved);
                CostFunction.Evaluate(candidate, workspace, equations);
                return equations.Gradient[of];
            }

            for (int p = 0; p < n; p++)
            {
                for (int q = 0; q <= p; q++)
                {
                    const double H = 2e-4;
                    double second = (Gradient(p, q, -2 * H) - (8 * Gradient(p, q, -H)) + (8 * Gradient(p, q, H)) - Gradient(p, q, 2 * H)) / (12 * H);
                    Assert.Equal(second, matrix[(p * n) + q], 1e-5 * size);
                }
            }
        }
    }

    private static Problem Case(string name)
    {
        Problem problem = SmallProblem.TwoWay();
        return name switch
        {
            "tolerance" => problem with { Target = problem.Target with { ToleranceDb = 1 } },
            "phase" => problem with { Phase = problem.Phase with { LimitDeg = 3 } },
            "arrival" => problem with { Phase = problem.Phase with { ArrivalLimit = 3e-6 } },
            "impedance" => problem with { Limits = new Limits { MinImpedance = 60 } },
            "sensitivity" => problem with { Limits = new Limits { MinSplAt100mV = 125 } },
            "absolute" => problem with { Target = problem.Target with { Level = LevelKind.Absolute, Curve = LogCurve.Flat(105) } },
            "delay removed" => problem with { Phase = problem.Phase with { Kind = PhaseKind.DelayRemoved } },
            "three ways" => SmallProblem.ThreeWay(),
            "peak" => SmallProblem.ThreeWay() with { Limits = new Limits { MinPeakSpl = [new(50, 135), new(1000, 135), new(6000, 130)] } },
            // Peak levels too, since headroom has derivatives of its own. ESR and DCR change from part to part.
            "unlike losses" => SmallProblem.ThreeWay() with
            {
                Limits = new Limits { MinPeakSpl = [new(50, 135), new(1000, 135)] },
                Passives = problem.Passives with { Capacitors = Unlike(problem.Passives.Capacitors, 3), Coils = Unlike(problem.Passives.Coils, 5) },
            },
            _ => problem,
        };

        static StockValue[] Unlike(IReadOnlyList<StockValue> parts, double ohm) =>
            [.. parts.Select((part, i) => part with { LossResistance = 0.1 + (ohm * ((i * 7) % 4)) })];
    }

    private static bool Active(string name, Problem problem, CostFigures figures) => name switch
    {
        "tolerance" => figures.MagnitudeMaxDb > problem.Target.ToleranceDb,
        "phase" => figures.PhaseMax > problem.Phase.LimitDeg * Math.PI / 180,
        "arrival" => figures.ArrivalSpread > problem.Phase.ArrivalLimit,
        "impedance" => figures.ImpedanceMin < problem.Limits.MinImpedance,
        "peak" or "unlike losses" => figures.PeakPenalty > 0,
        "sensitivity" => figures.SplAt100mV < problem.Limits.MinSplAt100mV,
        _ => figures.Cost.Magnitude > 0.1 && figures.Cost.Phase > 0.1 && figures.Cost.Arrival > 0.1 && figures.Cost.Summing > 0.01,
    };

    private static double Difference(Candidate candidate, CostWorkspace workspace, double[] at, int p, double h)
    {
        double Cost(double shift)
        {
            double[] moved = [.. at];
            moved[p] += shift;
            candidate.SetFree(moved);
            return CostFunction.Evaluate(candidate, workspace, null).Cost.Total;
        }

        double difference = (Cost(-2 * h) - (8 * Cost(-h)) + (8 * Cost(h)) - Cost(2 * h)) / (12 * h);
        candidate.SetFree(at);
        return difference;
    }

    private static Problem MagnitudeOnly(Problem problem) => problem with
    {
        Cost = new(1, 0, 0, 0),
        Phase = problem.Phase with { LimitDeg = 1e6, ArrivalLimit = 1 },
    };

    private static Problem Met(Problem problem, LayoutSpace space, Layout layout, double[] unit)
    {
        var tables = new ProblemTables(problem, 12);
        var candidate = new Candidate(tables, space, layout);
        candidate.SetAll(unit);
        var kernel = new KernelWorkspace(tables.Grid);
        EarpieceKernel.Evaluate(candidate.Ways, tables.Ear, problem.Source, kernel, [], []);
        double[] level = [.. Enumerable.Range(0, tables.Grid.Count).Select(k =>
            20 * Math.Log10(Math.Sqrt((kernel.PressureRe[k] * kernel.PressureRe[k]) + (kernel.PressureIm[k] * kernel.PressureIm[k])) / 20e-6))];
        return problem with { Target = problem.Target with { Level = LevelKind.Absolute, Curve = new LogCurve(tables.Grid.Hz, level) } };
    }
}
