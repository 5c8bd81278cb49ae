using XoverOpt.Search;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Workshop.Tests.Running;

public sealed class TrialCrewTests
{
    private static readonly TimeSpan Wait = TimeSpan.FromSeconds(1);

    [Fact]
    public void Oldest_TrialThatThrows_ThrowsWhatItThrew()
    {
        using TrialCrew crew = new((_, _) => throw new InvalidOperationException("a trial that fails"), 2, TimeProvider.System);
        crew.WorkOn([Of(1)]);

        Assert.Equal("a trial that fails", Assert.Throws<InvalidOperationException>(() => Results(crew)).Message);
    }

    // Whoever is free begins the next batch while the last trial of the oldest is under way, and what is done of it stays.
    [Fact]
    public void WorkOn_TwoBatches_BeginsTheSecondWhileTheFirstIsUnderWay()
    {
        using ManualResetEventSlim second = new();
        using TrialCrew crew = new(
            (trial, breakOff) =>
            {
                if (trial.Seed == 1)
                {
                    // Ends only once a trial of the second batch has.
                    Assert.True(second.Wait(TimeSpan.FromSeconds(60), breakOff));
                }
                else if (trial.Seed == 10)
                {
                    second.Set();
                }

                return ResultOf(trial);
            },
            2,
            TimeProvider.System);
        Batch one = Of(1, 2), two = Of(10, 11);
        crew.WorkOn([one, two]);

        Assert.Equal([1, 2], Results(crew).Select(result => result.Cost));
        crew.WorkOn([two]);
        Assert.Equal([10, 11], Results(crew).Select(result => result.Cost));
    }

    [Fact]
    public void WorkOn_OtherBatches_DropsWhatWasNotBegun()
    {
        using ManualResetEventSlim begun = new(), go = new();
        int evaluated = 0;
        using TrialCrew crew = new(
            (trial, breakOff) =>
            {
                Interlocked.Increment(ref evaluated);
                begun.Set();
                Assert.True(go.Wait(TimeSpan.FromSeconds(60), breakOff));
                return ResultOf(trial);
            },
            1,
            TimeProvider.System);
        crew.WorkOn([Of([.. Enumerable.Range(0, 100)])]);
        begun.Wait(TestContext.Current.CancellationToken);
        crew.WorkOn([Of(7)]);
        go.Set();

        Assert.Equal([7], Results(crew).Select(result => result.Cost));
        Assert.Equal(2, evaluated);
    }

    // Whoever asked for something else does not wait for what is under way, however long it would take.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void WorkOn_OtherBatchesOrTheEnd_BreaksOffWhatIsUnderWay(bool end)
    {
        using ManualResetEventSlim begun = new();
        int brokenOff = 0;
        using TrialCrew crew = new(
            (trial, breakOff) =>
            {
                if (trial.Seed == 0)
                {
                    begun.Set();
                    Assert.True(SpinWait.SpinUntil(() => breakOff.IsCancellationRequested, TimeSpan.FromSeconds(60)));
                    Interlocked.Increment(ref brokenOff);
                    breakOff.ThrowIfCancellationRequested();
                }

                return ResultOf(trial);
            },
            1,
            TimeProvider.System);
        crew.WorkOn([Of(0)]);
        begun.Wait(TestContext.Current.CancellationToken);
        if (end)
        {
            crew.Dispose();
        }
        else
        {
            crew.WorkOn([Of(7)]);
            Assert.Equal([7], Results(crew).Select(result => result.Cost));
        }

        Assert.Equal(1, brokenOff);
    }

    // Lent trials are left to others as long as there is something else to do, and count when they come back in time.
    [Fact]
    public void TakeBack_LentTrialsInTime_AreNotEvaluatedHere()
    {
        using ManualResetEventSlim back = new();
        int evaluated = 0;
        using TrialCrew crew = new(
            (trial, breakOff) =>
            {
                Interlocked.Increment(ref evaluated);
                Assert.True(back.Wait(TimeSpan.FromSeconds(60), breakOff));
                return ResultOf(trial);
            },
            1,
            TimeProvider.System);
        Batch batch = Of(1, 2, 3);
        crew.WorkOn([batch], _ => 2);

        Assert.Equal(2, crew.TakeBack(batch, 1, [ResultOf(batch.Trials[1]), ResultOf(batch.Trials[2])]));
        Assert.Equal(0, crew.TakeBack(batch, 2, [ResultOf(batch.Trials[2])]));
        back.Set();
        Assert.Equal([1, 2, 3], Results(crew).Select(result => result.Cost));
        Assert.Equal(1, evaluated);
        Assert.Equal(0, crew.TakeBack(Of(1, 2, 3), 2, [ResultOf(batch.Trials[2])]));
    }

    [Fact]
    public void Oldest_LentTrialsThatNeverComeBack_AreEvaluatedHere()
    {
        using TrialCrew crew = new((trial, _) => ResultOf(trial), 2, TimeProvider.System);
        crew.WorkOn([Of(1, 2, 3, 4), Of(5, 6)], batch => batch.Trials.Count - 1);

        Assert.Equal([1, 2, 3, 4], Results(crew).Select(result => result.Cost));
    }

    private static IReadOnlyList<TrialResult> Results(TrialCrew crew)
    {
        while (true)
        {
            if (crew.Oldest(Wait) is { } results)
            {
                return results;
            }
        }
    }

    private static Batch Of(params int[] seeds) =>
        new(SearchStage.Explore, [.. seeds.Select(seed => new Trial(new Layout([0]), null, (ulong)seed, new TrialPlan(6, 1, 1, 0, 1)))]);

    private static TrialResult ResultOf(Trial trial) => new(trial.Seed, [], 1, null, 0, 0, []);
}
