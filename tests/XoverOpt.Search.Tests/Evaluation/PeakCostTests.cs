using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search.Tests;

/// <summary>The search's peak SPL against the plain one, build by build.</summary>
public class PeakCostTests
{
    [Fact]
    public void Evaluate_RandomBuilds_MissesWhatThePlainHeadroomMisses()
    {
        Problem problem = SmallProblem.ThreeWay() with { Limits = new Limits { MinPeakSpl = [new(50, 150), new(1000, 150), new(6000, 145)] } };
        var space = new LayoutSpace(problem);
        var tables = new ProblemTables(problem, 6);
        var workspace = new CostWorkspace(tables);
        var random = new Random64(12);
        for (int trial = 0; trial < 60; trial++)
        {
            Earpiece build = SmallProblem.RandomBuild(tables, space, random);
            double expected = problem.Limits.MinPeakSpl.Sum(peak => Math.Pow(Math.Max(peak.Db + CostFunction.LevelMargin - Headroom.At(build, problem.Ear, peak.Hz).Spl, 0), 2));

            Assert.True(expected > 0);
            Assert.Equal(expected, CostFunction.Evaluate(tables.Ways(build), workspace, null, [], []).PeakPenalty, 1e-9 * expected);
        }
    }

    // Nobody knows how loud a receiver without limits goes: 3 dB short at each frequency, as a house rule.
    [Fact]
    public void Evaluate_ReceiverWithoutLimits_CountsThreeDecibelEach()
    {
        Problem problem = SmallProblem.TwoWay();
        StockReceiver unknown = SmallProblem.High1 with { Receiver = SmallProblem.High1.Receiver with { TravelLimit = null, CurrentLimit = null } };
        problem = problem with
        {
            Limits = new Limits { MinPeakSpl = [new(50, 10), new(1000, 10)] },
            Ways = [problem.Ways[0], problem.Ways[1] with { Receivers = [unknown] }],
        };
        var space = new LayoutSpace(problem);
        var tables = new ProblemTables(problem, 6);
        Candidate candidate = SmallProblem.Random(tables, space, new Random64(1));

        Assert.Equal(18, CostFunction.Evaluate(candidate, new CostWorkspace(tables), null).PeakPenalty);
    }
}
