namespace XoverOpt.Search.Tests;

/// <summary>
/// The rounds that only large budgets come to (neighbours of the best, many starts, repeated starts), entered with a state of a small
/// search, so that they take a moment: stopped and gone on after every batch they must end the same.
/// </summary>
public class LateRoundsTests(FinishedSearch finished) : IClassFixture<FinishedSearch>
{
    [Fact]
    public void Resume_AfterEveryBatchOfLateRounds_EndsTheSameToTheLastBit()
    {
        Problem problem = SmallProblem.TwoWay(120_000);
        SearchState state = Entered(problem, layouts: 2, round: 1);
        LayoutSearch whole = SearchRunner.Run(new LayoutSearch(problem, state)), search = new(problem, state);
        int rivals = 0;
        var rounds = new HashSet<int>();
        while (!search.Done)
        {
            search = SearchRunner.Resumed(search);
            SearchRunner.Step(search);
            rounds.Add(search.Save().Round);
            rivals = Math.Max(rivals, search.Save().Rivals.Count);
        }

        Assert.Equal(SearchRunner.Text(whole), SearchRunner.Text(search));
        Assert.Equal(new Schedule(120_000).Rounds.Count - 1, rounds.Max());
        Assert.True(rivals > 0, "No rival optimum turned up, so none was saved.");
        Assert.True(search.Result().LayoutsTried > state.LayoutsTried, "Neighbours tried were not counted.");
    }

    // Independent starts of the best layout, told apart and counted, stand in the result.
    [Fact]
    public void Result_AfterRepeatedStarts_SaysHowSureTheValuesAre()
    {
        Problem problem = SmallProblem.TwoWay(1_000_000);
        var schedule = new Schedule(1_000_000);
        Schedule.Round last = schedule.Rounds[^1];
        Assert.True(last.Repeats > 1);
        SearchState state = Entered(problem, layouts: 1, round: schedule.Rounds.Count - 2);
        var search = new LayoutSearch(problem, state);
        Assert.Null(search.Result().Values);
        while (search.Save().Stage == SearchStage.Refine)
        {
            SearchRunner.Step(search);
        }

        search = SearchRunner.Resumed(search);
        SearchConfidence sure = search.Result().Values!;
        Assert.Equal(last.Repeats * last.Plan.Starts, sure.Starts);
        Assert.InRange(sure.Optima, 1, sure.Starts);
        Assert.Equal(ConfidenceKind.Values, sure.Kind);
    }

    /// <summary>A search that is about to work on the best layouts of the small one in a round.</summary>
    private SearchState Entered(Problem problem, int layouts, int round)
    {
        SearchState state = finished.Search.Save();
        Found[] best = [.. state.Elite.Take(layouts)];
        return state with
        {
            Stage = SearchStage.Refine,
            Round = round,
            Elite = best,
            Queue = best,
            Outstanding = [],
            Snapped = [],
            Tried = new LayoutSearch(problem).Save().Tried,
            LayoutsTried = layouts,
        };
    }
}
