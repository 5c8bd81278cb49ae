using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

/// <summary>Searches that begin from known builds, and searches in which some ways stay as they are.</summary>
public class KnownBuildsTests(FinishedSearch finished) : IClassFixture<FinishedSearch>
{
    private IReadOnlyList<RankedBuild> Earlier => finished.Search.Result().Builds;

    private Problem Warm(long evaluations = 7_000, ulong seed = 3) => SmallProblem.TwoWay(evaluations, seed) with { Known = [.. Earlier.Select(build => build.Earpiece)] };

    [Fact]
    public void Search_FromTheBuildsOfTheSameProblem_IsNoWorseAtAnyRank()
    {
        IReadOnlyList<RankedBuild> builds = SearchRunner.Run(new LayoutSearch(Warm())).Result().Builds;

        Assert.True(builds.Count >= Earlier.Count);
        Assert.All(Earlier.Zip(builds), pair => Assert.True(pair.Second.Feasible && pair.Second.Cost.Total <= pair.First.Cost.Total, $"{pair.Second.Cost.Total} above {pair.First.Cost.Total}"));
        Assert.All(builds, build => Assert.True(double.IsFinite(build.RelaxedCost)));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(8)]
    public void Result_AnyNumberOfThreadsAndResumedAfterEveryBatch_IsTheSameToTheLastBit(int threads)
    {
        LayoutSearch whole = SearchRunner.Run(new LayoutSearch(Warm()), threads), search = new(Warm());
        var stages = new HashSet<SearchStage>();
        while (!search.Done)
        {
            stages.Add(search.Save().Stage);
            search = SearchRunner.Resumed(search);
            SearchRunner.Step(search);
        }

        Assert.Equal(SearchRunner.Text(whole), SearchRunner.Text(search));
        Assert.Contains(SearchStage.Known, stages);
        Assert.Contains(SearchStage.Explore, stages);
    }

    [Fact]
    public void Search_WhereAReceiverIsGone_PutsOthersInItsPlaceAndNeverUsesIt()
    {
        string gone = Earlier[0].Earpiece.Ways[0].Receiver.PartNumber;
        Problem problem = Warm();
        problem = problem with { Ways = [problem.Ways[0] with { Receivers = [.. problem.Ways[0].Receivers.Where(receiver => receiver.Receiver.PartNumber != gone)] }, problem.Ways[1]] };
        var search = new LayoutSearch(problem);
        Batch first = search.Outstanding[0];
        var space = new LayoutSpace(problem);
        SectionShape[] network = [.. Earlier[0].Earpiece.Ways[0].Network.Select(section => new SectionShape(section.Place, section.Resistance is not null, section.Capacitance is not null, section.Inductance is not null))];

        Assert.Equal(SearchStage.Known, first.Stage);
        Assert.Contains(first.Trials, trial => problem.Ways[0].Networks[space.Option(trial.Layout, 0).Network].Sections.SequenceEqual(network));
        IReadOnlyList<RankedBuild> builds = SearchRunner.Run(search).Result().Builds;
        Assert.NotEmpty(builds);
        Assert.DoesNotContain(builds, build => build.Earpiece.Ways.Any(way => way.Receiver.PartNumber == gone));
    }

    // What stands for nothing must not change the search.
    [Fact]
    public void Search_FromBuildsOfOtherWays_IsThatFromNothing()
    {
        Problem problem = SmallProblem.TwoWay() with { Known = [new([.. Earlier[0].Earpiece.Ways.Select(way => way with { Name = "other " + way.Name })])] };

        Assert.Equal(SearchRunner.Text(finished.Search), SearchRunner.Text(SearchRunner.Run(new LayoutSearch(problem))));
    }

    [Fact]
    public void KnownBuilds_ManyOfThem_TakeABoundedShareOfTheBudget()
    {
        Problem problem = Warm(12_000);
        problem = problem with { Known = [.. Enumerable.Range(0, 60).SelectMany(k => problem.Known.Select(build => Renetworked(build, k)))] };
        var search = new LayoutSearch(problem);
        while (search.Outstanding[0].Stage == SearchStage.Known)
        {
            SearchRunner.Step(search);
        }

        Assert.InRange(search.Progress.Evaluations, 1, 0.25 * 12_000);

        static Earpiece Renetworked(Earpiece build, int k) => new([build.Ways[0] with { Count = 1 + (k % 2), Network = [.. build.Ways[0].Network.Take(1 + (k % 3))] }, build.Ways[1]]);
    }

    [Fact]
    public void Stop_AtOnce_KeepsTheKnownBuilds()
    {
        var search = new LayoutSearch(Warm());
        search.Stop(StopReason.Stopped);
        SearchResult result = SearchRunner.Run(search).Result();

        Assert.Equal(StopReason.Stopped, result.Reason);
        Assert.Equal(Earlier[0].Key, result.Builds[0].Key);
    }

    [Fact]
    public void Search_LargeEnoughForSeveralBeginnings_TakesTheKnownBuildsForTheFirst()
    {
        Problem problem = SmallProblem.ThreeWay();
        var tables = new ProblemTables(problem, 24);
        var space = new LayoutSpace(problem);
        var receivers = new[] { SmallProblem.Low1, SmallProblem.Low3, SmallProblem.Mid1, SmallProblem.High1 };
        problem = problem with
        {
            Known = [SmallProblem.RandomBuild(tables, space, new Random64(4))],
            Ways = [.. problem.Ways.Select(way => way with { Receivers = receivers })],
            Effort = problem.Effort with { Evaluations = 10_000_000 },
        };
        var search = new LayoutSearch(problem);
        while (search.Save().Stage == SearchStage.Known)
        {
            SearchRunner.Step(search);
        }

        Assert.Equal(SearchStage.Improve, search.Save().Stage);
        Assert.Equal(search.Progress.Evaluations, search.Save().Begun);
    }

    [Fact]
    public void Variant_OfABuild_KeepsItsOtherWayPartForPart()
    {
        Earpiece parent = Earlier[0].Earpiece;
        Problem problem = Variant(SmallProblem.TwoWay(8_000), parent);
        LayoutSearch search = SearchRunner.Run(new LayoutSearch(problem));
        IReadOnlyList<RankedBuild> builds = search.Result().Builds;

        Assert.True(builds.Count > 1);
        Assert.All(builds, build => Assert.Equal(BuildKey.Of(new([parent.Ways[1]])), BuildKey.Of(new([build.Earpiece.Ways[1]]))));
        Assert.True(builds.Select(build => BuildKey.Of(new([build.Earpiece.Ways[0]]))).Distinct().Count() > 1);
        // Its parts are priced though the job lists none of them.
        Assert.All(builds, build => Assert.Equal(0, build.Figures.UnpricedParts));
        // The parent itself can be found, so that the best is no worse.
        Assert.True(builds[0].Cost.Total <= 1.02 * Earlier[0].Cost.Total, $"{builds[0].Cost.Total} above {Earlier[0].Cost.Total}");
    }

    // Judged with its neighbours, whatever they are: by the evaluation of whole builds, which knows nothing of kept ways.
    [Fact]
    public void Variant_ItsCosts_AreThoseOfWholeBuilds()
    {
        Problem problem = Variant(SmallProblem.TwoWay(5_000), Earlier[0].Earpiece);
        var plain = new BuildEvaluation(SmallProblem.TwoWay());

        Assert.All(SearchRunner.Run(new LayoutSearch(problem)).Result().Builds, build => Assert.Equal(plain.Judge(build.Earpiece).Cost.Total, build.Cost.Total, 1e-12));
    }

    /// <summary>The first way free, the second as in the build; the job's own lists hold no network part of it.</summary>
    private static Problem Variant(Problem problem, Earpiece parent)
    {
        Way high = parent.Ways[1];
        WayChoice choice = problem.Ways[1];
        double farad = high.Network.Single().Capacitance!.Value;
        StockValue part = problem.Passives.Capacitors.Single(capacitor => capacitor.Value == farad);
        return problem with
        {
            Passives = problem.Passives with { Capacitors = [.. problem.Passives.Capacitors.Where(capacitor => capacitor != part)] },
            Ways =
            [
                problem.Ways[0],
                choice with
                {
                    Receivers = [choice.Receivers.Single(receiver => receiver.Receiver == high.Receiver)],
                    Counts = [high.Count],
                    Wirings = [high.Wiring],
                    Polarities = [high.Polarity],
                    Bores = [choice.Bores.Single(bore => bore.Value == high.Tube[0].Bore)],
                    Dampers = [choice.Dampers.Single(damper => damper.Value == high.DamperResistance)],
                    TubeMin = high.Tube[0].Length,
                    TubeMax = high.Tube[0].Length,
                    Kept = new(high, [part]),
                },
            ],
        };
    }
}
