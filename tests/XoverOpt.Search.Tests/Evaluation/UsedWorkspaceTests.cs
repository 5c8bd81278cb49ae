namespace XoverOpt.Search.Tests;

/// <summary>Workspaces are lent from trial to trial: what one has seen before must leave no trace, not even in the last bit.</summary>
public class UsedWorkspaceTests
{
    [Theory]
    [InlineData(false, 6)]
    [InlineData(true, 6)]
    [InlineData(true, 12)]
    [InlineData(true, 24)]
    public void Evaluate_InAUsedWorkspace_GivesTheBitsOfAFreshOne(bool three, int density)
    {
        Problem problem = (three ? SmallProblem.ThreeWay() : SmallProblem.TwoWay()) with
        {
            Limits = new Limits { MinImpedance = 30, MinSplAt100mV = 118, MinPeakSpl = [new(50, 135), new(1000, 135)] },
        };
        var space = new LayoutSpace(problem);
        var tables = new ProblemTables(problem, density);
        var used = new CostWorkspace(tables);
        NormalEquations equations = new(), freshEquations = new();
        var random = new Random64(6);
        for (int trial = 0; trial < 60; trial++)
        {
            // One that cannot be computed first: its not-a-numbers must not stay.
            Candidate candidate = SmallProblem.Random(tables, space, random);
            double[] unit = [.. candidate.Unit];
            candidate.SetAll([.. unit.Select(_ => double.NaN)]);
            Assert.False(double.IsFinite(CostFunction.Evaluate(candidate, used, equations).Cost.Total));
            candidate.SetAll(unit);
            CostFigures figures = CostFunction.Evaluate(candidate, used, equations);
            CostFigures fresh = CostFunction.Evaluate(candidate, new CostWorkspace(tables), freshEquations);
            Assert.Equal(fresh, figures);
            Assert.Equal(freshEquations.Gradient.ToArray(), equations.Gradient.ToArray());
            Assert.Equal(freshEquations.Matrix.ToArray(), equations.Matrix.ToArray());
            Assert.Equal(fresh.Cost.Total, CostFunction.Evaluate(candidate, used, null).Cost.Total);
        }
    }

    [Fact]
    public void Descend_InAUsedWorkspace_EndsWhereAFreshOneEnds()
    {
        Problem problem = SmallProblem.ThreeWay();
        var space = new LayoutSpace(problem);
        var tables = new ProblemTables(problem, 6);
        var used = new CostWorkspace(tables);
        var random = new Random64(7);
        for (int trial = 0; trial < 20; trial++)
        {
            Candidate candidate = SmallProblem.Random(tables, space, random);
            double[] start = [.. candidate.Unit];
            LevenbergMarquardt.Outcome outcome = Descent.Run(candidate, used, 80);
            candidate.SetAll(start);
            Assert.Equal(Descent.Run(candidate, new CostWorkspace(tables), 80), outcome);
        }
    }
}
