namespace XoverOpt.Search.Tests;

/// <summary>The builds a search ended with, ranked by what is to be expected of them.</summary>
public class RobustRankingTests
{
    [Fact]
    public void Of_JobThatDoesNotAsk_LeavesTheBuilds()
    {
        IReadOnlyList<RankedBuild> builds = Builds(SpreadProblem.ThreeWay());
        Assert.Same(builds, RobustRanking.Of(SpreadProblem.ThreeWay(), builds));
        Assert.Null(RobustRanking.Words(builds));
    }

    [Fact]
    public void Of_JobThatAsks_RanksByTheDocumentedScore()
    {
        Problem problem = SpreadProblem.ThreeWay() with { Robust = new(Samples: 60, Weight: 0.7) };
        IReadOnlyList<RankedBuild> builds = Builds(problem), robust = RobustRanking.Of(problem, builds);
        Assert.Equal(Enumerable.Range(1, builds.Count), robust.Select(build => build.Rank));
        Assert.Equal(builds.Select(build => build.Key).Order(), robust.Select(build => build.Key).Order());
        foreach (RankedBuild build in robust)
        {
            RobustRankingFigures figures = build.Robust!;
            RankedBuild before = builds[figures.NominalRank - 1];
            Assert.Equal(before.Key, build.Key);

            // The cost as drawn stays beside it.
            Assert.Equal(before.Cost, build.Cost);
            Assert.Equal(before.Cost.Total - before.Cost.Penalty, figures.NominalCost, 1e-6 * before.Cost.Total);
            Assert.Equal(figures.NominalCost + figures.SpreadCost!.Value.Value + figures.EarsCost!.Value + figures.SourcesCost!.Value, figures.ExpectedCost, 12);
            Assert.Equal((0.3 * figures.NominalCost) + (0.7 * (figures.ExpectedCost + 1 - figures.Yield!.Value.Value)), figures.Score, 1e-12 * figures.Score);
        }

        foreach ((RankedBuild better, RankedBuild worse) in robust.Zip(robust.Skip(1)))
        {
            Assert.True(better.Feasible && !worse.Feasible || (better.Feasible == worse.Feasible && better.Robust!.Score <= worse.Robust!.Score));
        }

        Assert.Equal(robust.Select(build => build.Key), RobustRanking.Of(problem, [.. builds.Reverse()]).Select(build => build.Key));
    }

    // The mean over units, drawn one by one and judged by nothing but the plain evaluation of a whole build with that very receiver and parts.
    [Fact]
    public void Of_SingleReceivers_ExpectsTheMeanCostOfItsUnits()
    {
        Problem problem = SpreadProblem.ThreeWay() with { Robust = new(Samples: 50, Ears: false, Sources: false) };
        RankedBuild build = Builds(problem).First(candidate => candidate.Earpiece.Ways.All(way => way.Count == 1));
        RobustRankingFigures figures = RobustRanking.Of(problem, [build])[0].Robust!;
        var spread = new PartSpread(build.Earpiece, problem, new());
        var workspace = new CostWorkspace(new ProblemTables(problem, 24));
        double mean = 0;
        for (int unit = 0; unit < 50; unit++)
        {
            SpreadUnit drawn = spread.Unit(problem.Effort.Seed, unit);
            Acoustics.Earpiece own = new([.. drawn.Ways.Select(way => way.Way with { Receiver = way.Receivers[0] })]);
            CostFigures cost = CostFunction.Evaluate(workspace.Tables.Ways(own), workspace, null, [], []);
            mean += (cost.Cost.Total - cost.Cost.Penalty) / 50;
        }

        Assert.Equal(mean, figures.ExpectedCost, 1e-9 * mean);
        Assert.Null(figures.EarsCost);
    }

    // Common random numbers (P. Glasserman, Monte Carlo Methods in Financial Engineering, 2004, 4.6): the error of a difference over the same draws is that of
    // its units' differences. A build beside itself differs by nothing at all; others by the difference of their scores.
    [Fact]
    public void Behind_OnTheSameDraws_IsTheDifferenceOfScoresAndSurerThanEither()
    {
        Problem problem = SpreadProblem.ThreeWay() with { Robust = new(Samples: 200, Weight: 0.7) };
        IReadOnlyList<RankedBuild> builds = Builds(problem), robust = RobustRanking.Of(problem, builds);
        Assert.Equal(new(0, 0), robust[0].Robust!.Behind);
        foreach (RankedBuild build in robust.Skip(1))
        {
            Assert.Equal(build.Robust!.Score - robust[0].Robust!.Score, build.Robust.Behind!.Value.Value, 1e-9 * build.Robust.Score);
            Assert.True(build.Robust.Behind.Value.StandardError > 0);
        }

        RankedBuild twin = builds[0] with { Rank = 2, Key = builds[0].Key + " again" };
        RobustRankingFigures same = RobustRanking.Of(problem, [builds[0] with { Rank = 1 }, twin])[1].Robust!;
        Assert.Equal(new(0, 0), same.Behind);
        Assert.False(same.IsTold);
        Assert.True(same.SpreadCost!.Value.StandardError > 0);
        Assert.All(RobustRanking.Of(problem with { Robust = new(Spread: false) }, builds), build => Assert.Null(build.Robust!.Behind));
    }

    [Fact]
    public void Words_WhereAnotherBuildHoldsUpBest_SayWhichAndWhy()
    {
        Problem problem = SpreadProblem.ThreeWay();
        IReadOnlyList<RankedBuild> builds = Builds(problem);
        RankedBuild Held(int at, int nominal, double spreadCost) =>
            builds[at] with { Rank = at + 1, Robust = new(nominal, 1, 0.5, new(spreadCost, 0.01), 0.1, 0.1, new(0.5, 0.02)) };
        Assert.Contains("also holds up best", RobustRanking.Words([Held(0, 1, 0.2), Held(1, 2, 0.4)]), StringComparison.Ordinal);
        string words = RobustRanking.Words([Held(0, 2, 0.2), Held(1, 1, 0.4)])!;
        Assert.Contains("is not the one that holds up best", words, StringComparison.Ordinal);
        Assert.Contains("moves less as parts vary", words, StringComparison.Ordinal);
        Assert.Contains("50.0 ± 2.0 %", words, StringComparison.Ordinal);
        RankedBuild Behind(RankedBuild build, double by) => build with { Robust = build.Robust! with { Behind = new(by, 0.1) } };
        Assert.Contains("0.190 ± 0.100 behind in score on the same draws, which does not tell the two apart", RobustRanking.Words([Held(0, 2, 0.2), Behind(Held(1, 1, 0.4), 0.19)])!, StringComparison.Ordinal);
        Assert.EndsWith("0.210 ± 0.100 behind in score on the same draws.", RobustRanking.Words([Held(0, 2, 0.2), Behind(Held(1, 1, 0.4), 0.21)])!, StringComparison.Ordinal);
        Assert.Contains("the next is 0.210 ± 0.100 behind", RobustRanking.Words([Held(0, 1, 0.2), Behind(Held(1, 2, 0.4), 0.21)])!, StringComparison.Ordinal);
    }

    [Fact]
    public void Search_OfAJobThatAsks_EndsInRobustOrder()
    {
        Problem problem = SpreadProblem.With(SmallProblem.TwoWay(12_000), SpreadProblem.Usual, 10) with { Robust = new(Samples: 50) };
        SearchResult result = SearchRunner.Run(new LayoutSearch(problem)).Result();
        Assert.All(result.Builds, build => Assert.NotNull(build.Robust));
        Assert.NotNull(RobustRanking.Words(result.Builds));
        Assert.Equal(Enumerable.Range(1, result.Builds.Count), result.Builds.Select(build => build.Robust!.NominalRank).Order());
    }

    private static IReadOnlyList<RankedBuild> Builds(Problem problem)
    {
        var evaluation = new BuildEvaluation(problem);
        return BuildRanking.Rank(Enumerable.Range(1, 12).Select(seed => evaluation.Judge(SpreadProblem.Build(problem, (ulong)seed))), 12);
    }
}
