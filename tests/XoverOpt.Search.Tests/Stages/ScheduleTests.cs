namespace XoverOpt.Search.Tests;

/// <summary>Budgets as planned and as used.</summary>
public class ScheduleTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(5_000)]
    [InlineData(100_000)]
    [InlineData(1_000_000)]
    [InlineData(1_000_000_000)]
    public void Schedule_AnyBudget_NarrowsDownToTheFinestGrid(long budget)
    {
        var schedule = new Schedule(budget);

        Assert.InRange(schedule.Exploring, 0, schedule.Improving);
        Assert.InRange(schedule.Improving, 0, budget);
        Assert.InRange(schedule.BatchSize, 4, 96);
        Assert.Equal(24, schedule.Rounds[^1].Plan.PointsPerOctave);
        Assert.True(schedule.Rounds.Zip(schedule.Rounds.Skip(1)).All(pair => pair.First.Plan.PointsPerOctave <= pair.Second.Plan.PointsPerOctave));
        Schedule.Round[] narrowing = [.. schedule.Rounds.Where(round => !round.Neighbours)];
        Assert.True(narrowing.Zip(narrowing.Skip(1)).All(pair => pair.First.Layouts >= pair.Second.Layouts), "A later round takes more layouts than an earlier one.");
        Assert.All(schedule.Rounds.Take(2), round => Assert.True(round.Layouts >= schedule.Snaps));
    }

    // A batch may go beyond the budget, but none begins there, except to make as many builds as the list should hold.
    [Theory]
    [InlineData(5_000)]
    [InlineData(20_000)]
    [InlineData(60_000)]
    public void Search_SmallProblem_BeginsNoBatchBeyondItsBudget(long budget)
    {
        const int Keep = 3;
        var search = new LayoutSearch(SmallProblem.TwoWay(budget, seed: 3, keep: Keep));
        var asked = new Dictionary<Batch, SearchState>(ReferenceEqualityComparer.Instance);
        while (!search.Done)
        {
            SearchState state = search.Save();
            foreach (Batch batch in search.Outstanding)
            {
                asked.TryAdd(batch, state);
            }

            SearchRunner.Step(search);
        }

        long used = search.Result().Evaluations;
        TestContext.Current.TestOutputHelper?.WriteLine($"{used} of {budget} evaluations.");
        Assert.All(asked.Values, state => Assert.True(state.Evaluations < budget || state.Snapped.Count < Keep, $"A batch was asked at {state.Evaluations} of {budget}."));
        Assert.True(used <= 1.25 * budget, $"{used} of {budget} evaluations.");
    }
}
