using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

/// <summary>What every search promises, on problems that take a moment.</summary>
public class LayoutSearchTests(FinishedSearch finished) : IClassFixture<FinishedSearch>
{
    [Theory]
    [InlineData(1)]
    [InlineData(8)]
    public void Result_AnyNumberOfThreads_IsTheSameToTheLastBit(int threads) => Assert.Equal(
        SearchRunner.Text(finished.Search),
        SearchRunner.Text(SearchRunner.Run(new LayoutSearch(SmallProblem.TwoWay()), threads)));

    [Fact]
    public void Result_AnotherSeed_TakesAnotherPath()
    {
        LayoutSearch other = SearchRunner.Run(new LayoutSearch(SmallProblem.TwoWay(seed: 2)));

        Assert.NotEqual(SearchRunner.Text(finished.Search), SearchRunner.Text(other));
        Assert.NotEmpty(other.Result().Builds);
    }

    [Fact]
    public void Resume_AfterEveryBatch_EndsTheSameToTheLastBit()
    {
        var search = new LayoutSearch(SmallProblem.TwoWay());
        int batches = 0;
        var stages = new HashSet<SearchStage>();
        while (!search.Done)
        {
            stages.Add(search.Save().Stage);
            search = SearchRunner.Resumed(search);
            SearchRunner.Step(search);
            batches++;
        }

        Assert.Equal(SearchRunner.Text(finished.Search), SearchRunner.Text(search));
        Assert.Equal(4, stages.Count);
        Assert.True(batches >= 6, $"{batches} batches");
    }

    [Fact]
    public void Resume_OfASearchThatDrawsLayouts_EndsTheSameToTheLastBit()
    {
        Problem problem = Many(12_000);
        LayoutSearch whole = SearchRunner.Run(new LayoutSearch(problem)), search = new(problem);
        Assert.True(new LayoutSpace(problem).Total > 20_000);
        for (int batch = 0; !search.Done; batch++)
        {
            search = batch % 2 == 1 ? SearchRunner.Resumed(search) : search;
            SearchRunner.Step(search);
        }

        Assert.Equal(SearchRunner.Text(whole), SearchRunner.Text(search));
    }

    [Fact]
    public void Evaluate_BrokenOff_ThrowsAndTheSearchGoesOnToTheSame()
    {
        LayoutSearch search = new(SmallProblem.TwoWay());

        Assert.Throws<OperationCanceledException>(() => search.Evaluate(search.Outstanding[0].Trials[0], new CancellationToken(canceled: true)));

        Assert.Equal(SearchRunner.Text(finished.Search), SearchRunner.Text(SearchRunner.Run(search)));
    }

    [Fact]
    public void Result_InAHurry_HasTheSameBuildsWithoutAdvice()
    {
        SearchResult whole = finished.Search.Result(), hurried = finished.Search.ResultInTime(2, new CancellationToken(canceled: true));

        Assert.Contains(whole.Builds, build => build.Advice.Count > 0);
        Assert.Equal(whole.Builds.Select(build => build.Key), hurried.Builds.Select(build => build.Key));
        Assert.All(hurried.Builds, build => Assert.Empty(build.Advice));
        Assert.Equal(whole.Reason, hurried.Reason);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(4)]
    public void Stop_MidWay_KeepsTheBestSoFarAndEndsSoon(int after)
    {
        var search = new LayoutSearch(SmallProblem.TwoWay(200_000));
        for (int batch = 0; batch < after; batch++)
        {
            SearchRunner.Step(search);
        }

        Found? best = search.Save().Elite is { Count: > 0 } elite ? elite[0] : null;
        search.Stop(StopReason.Stopped);
        search.Stop(StopReason.TimeUsed);
        int left = 0;
        for (; !search.Done; left++)
        {
            SearchRunner.Step(search);
        }

        SearchResult result = search.Result();
        Assert.InRange(left, 0, 3);
        Assert.Equal(StopReason.Stopped, result.Reason);
        Assert.Equal(after == 0, result.Builds.Count == 0);
        if (best is not null)
        {
            Assert.Contains(search.Save().Snapped, found => found.Options.SequenceEqual(best.Options));
            // What is known of it so far is of a coarse grid: the relaxed cost told is of the grid that builds are ranked by.
            var advice = new BuildAdvice(search.Problem);
            RankedBuild first = result.Builds[0];
            Assert.Equal(advice.On(first with { RelaxedCost = double.NaN }).RelaxedCost, first.RelaxedCost);
            Assert.InRange(first.RelaxedCost, 1e-9, first.Cost.Total);
            // Somebody waits: the rest comes without.
            Assert.All(result.Builds.Skip(1), build => Assert.True(double.IsNaN(build.RelaxedCost) && build.Advice.Count == 0));
        }
    }

    [Fact]
    public void Stop_AfterTheEnd_ChangesNothing()
    {
        LayoutSearch search = SearchRunner.Resumed(finished.Search);
        search.Stop(StopReason.Stopped);
        Assert.Equal(SearchRunner.Text(finished.Search), SearchRunner.Text(search));
    }

    [Fact]
    public void Tell_NotAsManyResultsAsAsked_IsRefused()
    {
        var search = new LayoutSearch(SmallProblem.TwoWay());
        Assert.Throws<ArgumentException>(() => search.Tell([]));
        Assert.Throws<InvalidOperationException>(() => SearchRunner.Resumed(finished.Search).Tell([]));
    }

    // Two batches are in hand, so that no thread waits at the end of one, but where what comes next depends on all that is outstanding.
    [Fact]
    public void Outstanding_ThroughASearch_IsTwoBatchesButBeforeARoundAndAtTheEnd()
    {
        var search = new LayoutSearch(SmallProblem.TwoWay(60_000));
        var counts = new List<(SearchStage Stage, int Batches)>();
        while (!search.Done)
        {
            SearchState state = search.Save();
            counts.Add((state.Stage, search.Outstanding.Count));
            Assert.Equal(search.Outstanding, state.Outstanding);
            Assert.Single(search.Outstanding.Where(batch => batch.Stage is SearchStage.Refine or SearchStage.Snap).Select(batch => batch.Stage).Distinct().DefaultIfEmpty());
            SearchRunner.Step(search);
        }

        Assert.Empty(search.Outstanding);
        Assert.All(counts, count => Assert.InRange(count.Batches, 1, 2));
        Assert.Equal(1, counts.Count(count => count is (SearchStage.Improve, 1)));
        Assert.True(counts.Count(count => count.Batches == 2) > counts.Count / 2, string.Join(' ', counts));
    }

    // No batch proposes what another one has in hand.
    [Fact]
    public void Outstanding_WhileImproving_HoldsNoNewLayoutTwice()
    {
        var search = new LayoutSearch(Many(60_000));
        int seen = 0;
        while (search.Save().Stage is SearchStage.Explore or SearchStage.Improve)
        {
            string[] children = [.. search.Outstanding
                .Where(batch => batch.Stage == SearchStage.Improve)
                .SelectMany(batch => batch.Trials)
                .Where(trial => trial.Plan != Schedule.Again)
                .Select(trial => trial.Layout.Key)];
            Assert.Distinct(children);
            seen += children.Length;
            SearchRunner.Step(search);
        }

        Assert.True(seen > 100, $"{seen} children");
    }

    // Ended by time or by somebody, a search says when; ended there again, it finds the same.
    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(9)]
    [InlineData(-1)]
    public void EndAfter_WhereAnEarlierSearchWasEnded_GivesItsBuildsBitForBit(int after)
    {
        Problem problem = SmallProblem.TwoWay(20_000);
        var search = new LayoutSearch(problem);
        for (int batch = 0; batch != after && search.Save().Snapped.Count == 0; batch++)
        {
            SearchRunner.Step(search);
        }

        search.Stop(StopReason.TimeUsed);
        SearchResult ended = SearchRunner.Run(search).Result();
        Problem again = problem with { Effort = problem.Effort with { EndAfter = ended.EndedAtEvaluations } };
        SearchResult replayed = SearchRunner.Run(new LayoutSearch(again), 1).Result(2);

        Assert.Equal(after == 0, ended.Builds.Count == 0);
        Assert.Equal(StopReason.EvaluationsUsed, replayed.Reason);
        Assert.Equal(SearchRunner.Text(ended), SearchRunner.Text(replayed with { Reason = ended.Reason }));
        Assert.Null(SearchRunner.Run(new LayoutSearch(problem)).Result().EndedAtEvaluations);
    }

    [Fact]
    public void Builds_Ranked_AreInOrderWithoutGapsAndFewOfAFamily()
    {
        IReadOnlyList<RankedBuild> builds = finished.Search.Result().Builds;

        Assert.Equal(SmallProblem.TwoWay().Effort.Keep, builds.Count);
        Assert.Equal(Enumerable.Range(1, builds.Count), builds.Select(build => build.Rank));
        Assert.Equal(builds.Order(BuildRanking.Order).Select(build => build.Key), builds.Select(build => build.Key));
        Assert.Distinct(builds.Select(build => build.Key));
        // Two receivers a way and one or two of each make few families: a family has more than its share only where none waits.
        IGrouping<string, RankedBuild>[] families = [.. builds.GroupBy(
            build => string.Join('+', build.Earpiece.Ways.Select(way => $"{way.Count} {way.Receiver.PartNumber}").Order(StringComparer.Ordinal)))];
        Assert.True(families.Length >= 2, "One family only: not different earpieces.");
        Assert.All(families, family => Assert.True(
            family.Count() <= BuildRanking.FamilyCap || families.Sum(kin => Math.Min(kin.Count(), BuildRanking.FamilyCap)) < builds.Count,
            "More kin than their share although other families would fill the list."));
    }

    [Fact]
    public void Builds_Ranked_AreOfPartsThatCanBeBoughtOrCut()
    {
        Problem problem = SmallProblem.TwoWay();
        foreach (RankedBuild build in finished.Search.Result().Builds)
        {
            foreach ((Way way, WayChoice choice) in build.Earpiece.Ways.Zip(problem.Ways))
            {
                TubeSegment tube = Assert.Single(way.Tube);
                Assert.Equal(choice.Name, way.Name);
                Assert.Contains(way.Receiver, choice.Receivers.Select(receiver => receiver.Receiver));
                Assert.Contains(way.Count, choice.Counts);
                Assert.Contains(way.Wiring, choice.Wirings);
                Assert.Contains(way.Polarity, choice.Polarities);
                Assert.Contains(way.DamperResistance, choice.Dampers.Select(value => value.Value));
                Assert.Contains(tube.Bore, choice.Bores.Select(value => value.Value));
                Assert.InRange(tube.Length, choice.TubeMin, choice.TubeMax);
                Assert.Equal(Problem.CutLength(Math.Round(tube.Length / problem.TubeStep), problem.TubeStep), tube.Length);
                Assert.Contains(choice.Networks, shape => shape.Sections.SequenceEqual(way.Network.Select(section =>
                    new SectionShape(section.Place, section.Resistance is not null, section.Capacitance is not null, section.Inductance is not null))));
                foreach (NetworkSection section in way.Network)
                {
                    OneOf(section.Resistance, problem.Passives.Resistors);
                    OneOf(section.Inductance, problem.Passives.Coils);
                    OneOf(section.Capacitance, problem.Passives.Capacitors);
                    Assert.Equal(section.Capacitance is null ? 0 : 0.2, section.CapacitorEsr);
                }
            }
        }
    }

    // What a build says of itself is what a fresh evaluation says of it.
    [Fact]
    public void Builds_EvaluatedAfresh_HaveTheirCostAndFigures()
    {
        var evaluation = new BuildEvaluation(SmallProblem.TwoWay());
        foreach (RankedBuild build in finished.Search.Result().Builds)
        {
            RankedBuild fresh = evaluation.Judge(build.Earpiece, build.RelaxedCost);
            Assert.Equal(build.Cost, fresh.Cost);
            Assert.Equal(build.Key, fresh.Key);
            Assert.Equal(build.Figures.MagnitudeMaxDb, fresh.Figures.MagnitudeMaxDb);
            Assert.True(build.Cost.Total >= build.RelaxedCost * 0.9, $"snapped {build.Cost.Total:G4}, relaxed {build.RelaxedCost:G4}");
        }
    }

    // A legal build's own response becomes the target: the search must do at least as well as that build.
    [Theory]
    [InlineData(1, LevelKind.Absolute)]
    [InlineData(2, LevelKind.Relative)]
    [InlineData(3, LevelKind.Absolute)]
    [InlineData(4, LevelKind.Relative)]
    [InlineData(5, LevelKind.Relative)]
    public void Search_ForAPlantedBuild_FindsItsLike(int seed, LevelKind level)
    {
        Problem start = SmallProblem.TwoWay(120_000);
        start = start with { Cost = new(1, 0, 0, 0), Phase = start.Phase with { LimitDeg = 1e6, ArrivalLimit = 1 } };
        var tables = new ProblemTables(start, 24);
        Earpiece planted = SmallProblem.RandomBuild(tables, new LayoutSpace(start), new Random64((ulong)seed));
        EarpieceResponse response = new BuildEvaluation(start).Response(planted);
        var curve = new LogCurve(response.Hz, [.. response.Pressure.Select(p => 20 * Math.Log10(p.Magnitude / 20e-6))]);
        Problem problem = start with { Target = start.Target with { Curve = curve, Level = level, ToleranceDb = 2.5 } };

        Assert.InRange(new BuildEvaluation(problem).Judge(planted).Cost.Total, 0, 1e-15);
        RankedBuild best = SearchRunner.Run(new LayoutSearch(problem)).Result().Builds[0];

        TestContext.Current.TestOutputHelper?.WriteLine($"planted {BuildKey.Of(planted)}\nfound   {best.Key}\ncost {best.Cost.Total:G4}, {best.Figures.MagnitudeRmsDb:G3} dB RMS");
        Assert.InRange(best.Figures.MagnitudeRmsDb, 0, 0.1);
    }

    // Of many random builds the three that are best in phase, arrival and summing, so that what must be matched is a good build.
    [Fact]
    public void Search_ForPlantedBuildsUnderTheWholeCost_IsNoWorseThanThey()
    {
        Problem start = SmallProblem.TwoWay(120_000);
        start = start with { Phase = start.Phase with { LimitDeg = 60, ArrivalLimit = 60e-6 } };
        var tables = new ProblemTables(start, 24);
        var space = new LayoutSpace(start);
        var evaluation = new BuildEvaluation(start);
        var random = new Random64(31);
        IEnumerable<Earpiece> planted = Enumerable.Range(0, 300)
            .Select(_ => SmallProblem.RandomBuild(tables, space, random))
            .OrderBy(build => evaluation.Judge(build).Cost is var cost ? cost.Phase + cost.Arrival + cost.Summing : 0)
            .Take(3);
        foreach (Earpiece build in planted)
        {
            EarpieceResponse response = evaluation.Response(build);
            Problem problem = start with
            {
                Target = start.Target with { Curve = new LogCurve(response.Hz, [.. response.Pressure.Select(p => 20 * Math.Log10(p.Magnitude / 20e-6))]) },
            };

            double cost = new BuildEvaluation(problem).Judge(build).Cost.Total;
            RankedBuild best = SearchRunner.Run(new LayoutSearch(problem)).Result().Builds[0];

            TestContext.Current.TestOutputHelper?.WriteLine($"planted {cost:G4}, found {best.Cost.Total:G4}");
            Assert.True(best.Cost.Total <= (1.01 * cost) + 1e-6, $"planted {cost:G4}, found {best.Cost.Total:G4}");
        }
    }

    // Several optima of a layout are made real: what is told is the best that keeps the limits, its loss against the best ideal values.
    [Fact]
    public void Builds_OfSeveralOptimaOfALayout_AreTheBestThatFits()
    {
        SearchState state = finished.Search.Save();
        RankedBuild first = finished.Search.Result().Builds[0];
        Found best = state.Snapped.MinBy(found => Math.Abs(found.Cost - first.Cost.Total))!;
        RankedBuild own = Only(SmallProblem.TwoWay(), best);
        Assert.True(own.Feasible);
        // One value a step on, so that it costs more but has a higher impedance.
        Found twin = Enumerable.Range(0, best.Choices!.Length)
            .Where(q => best.Unit[q] < 1)
            .Select(q => best with { Choices = [.. best.Choices.Select((choice, at) => at == q ? choice + 1 : choice)], RelaxedCost = 0.5 * best.RelaxedCost })
            .First(moved => Only(SmallProblem.TwoWay(), moved) is { Feasible: true } other
                && other.Cost.Total > own.Cost.Total && other.Figures.ImpedanceMinOhm > own.Figures.ImpedanceMinOhm);
        // A limit that only the twin keeps, missed by so little that it hardly costs.
        Problem strict = SmallProblem.TwoWay() with { Limits = new Limits { MinImpedance = own.Figures.ImpedanceMinOhm * (1 + 1e-6) } };

        foreach (Found[] snapped in new Found[][] { [best, twin], [twin, best] })
        {
            RankedBuild free = Only(SmallProblem.TwoWay(), snapped), fit = Only(strict, snapped);
            Assert.Equal(own.Cost, free.Cost);
            Assert.Equal(twin.RelaxedCost, free.RelaxedCost);
            Assert.True(fit.Feasible && fit.Cost.Total > Only(strict, best).Cost.Total);
        }

        RankedBuild Only(Problem problem, params Found[] snapped) => Assert.Single(
            new LayoutSearch(problem, state with { Snapped = snapped, Stage = SearchStage.Snap, Queue = [] }).Result().Builds);
    }

    [Fact]
    public void Layouts_TriedGivenUpAndNotReached_AreAllThatAreAllowed()
    {
        foreach (Problem problem in new[] { SmallProblem.TwoWay(), Many(12_000), SmallProblem.TwoWay(4000) })
        {
            LayoutSearch search = SearchRunner.Run(new LayoutSearch(problem));
            SearchResult result = search.Result();

            Assert.InRange(result.LayoutsTried, 1, result.LayoutsAllowed);
            Assert.All(result.GivenUp, part => Assert.True(part.Layouts > 0));
            Assert.Equal(result.LayoutsAllowed, result.LayoutsTried + result.GivenUp.Sum(part => part.Layouts) + result.LayoutsNotReached);
        }
    }

    // A first look stands for all bores of a layout, so that what 64 layouts with two bores can be is looked at with half as many.
    [Fact]
    public void Layouts_OfAWalkWithFreeBores_AreAllSeen()
    {
        Problem problem = SmallProblem.TwoWay(20_000);
        LayoutSearch search = new(problem);
        var firsts = new HashSet<string>();
        while (search.Save().Stage == SearchStage.Explore)
        {
            firsts.UnionWith(search.Outstanding[0].Trials.Where(trial => trial.Plan.FreeBores).Select(trial => trial.Layout.Key));
            SearchRunner.Step(search);
        }

        var space = new LayoutSpace(problem);
        while (search.Outstanding[0].Stage == SearchStage.Explore)
        {
            firsts.UnionWith(search.Outstanding[0].Trials.Select(trial => trial.Layout.Key));
            SearchRunner.Step(search);
        }

        SearchState state = search.Save();
        Assert.Equal(space.Total / space.BoreShades, firsts.Count);
        Assert.Equal(space.Total, state.SeenWithFreeBores);
        Assert.InRange(state.LayoutsTried, firsts.Count, firsts.Count + new Schedule(20_000).BatchSize);
    }

    private static Problem Many(long evaluations)
    {
        Problem problem = SmallProblem.ThreeWay();
        return problem with
        {
            Effort = problem.Effort with { Evaluations = evaluations },
            Ways = [.. problem.Ways.Select(way => way with { Receivers = [SmallProblem.Low1, SmallProblem.Low3, SmallProblem.Mid1, SmallProblem.High1] })],
        };
    }

    private static void OneOf(double? value, IReadOnlyList<StockValue> choices)
    {
        if (value is { } set)
        {
            Assert.Contains(set, choices.Select(choice => choice.Value));
        }
    }
}
