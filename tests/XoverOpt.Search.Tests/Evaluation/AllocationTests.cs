namespace XoverOpt.Search.Tests;

/// <summary>A search evaluates hundreds of millions of candidates: none of them may leave anything for the garbage collector.</summary>
public class AllocationTests
{
    [Fact]
    public void EvaluateAndDescend_OnceWarm_AllocateNothing()
    {
        Problem problem = SmallProblem.ThreeWay() with
        {
            Limits = new Limits { MinImpedance = 60, MinSplAt100mV = 125, MinPeakSpl = [new(50, 140), new(1000, 140)] },
        };
        var space = new LayoutSpace(problem);
        var tables = new ProblemTables(problem, 6);
        var workspace = new CostWorkspace(tables);
        var equations = new NormalEquations();
        Candidate candidate = SmallProblem.Random(tables, space, new Random64(4));
        double[] start = [.. candidate.Unit];

        Assert.Equal(0, Allocated(() => CostFunction.Evaluate(candidate, workspace, null)));
        Assert.Equal(0, Allocated(() => CostFunction.Evaluate(candidate, workspace, equations)));
        Assert.Equal(0, Allocated(() =>
        {
            candidate.SetAll(start);
            Descent.Run(candidate, workspace, 60);
        }));
    }

    private static long Allocated(Action action)
    {
        action();
        long before = GC.GetAllocatedBytesForCurrentThread();
        action();
        return GC.GetAllocatedBytesForCurrentThread() - before;
    }
}
