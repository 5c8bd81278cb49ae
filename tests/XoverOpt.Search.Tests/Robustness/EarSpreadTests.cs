using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

public class EarSpreadTests
{
    private static readonly Problem _problem = SmallProblem.TwoWay();

    // A diaphragm that the air does not move: a source of flow.
    private static readonly Earpiece _stiff = new([new(
        "stiff",
        SmallProblem.Low1.Receiver with { Compliance = 1e-7, FrontVolume = 1e-12, SpoutLength = 0.1e-3 },
        1, Wiring.Parallel, Polarity.Normal, [], 0, [])]);

    private static readonly Earpiece _soft = new([new("soft", SmallProblem.Low3.Receiver with { Compliance = 5e-3 }, 4, Wiring.Parallel, Polarity.Normal, [], 0, [new(10e-3, 2e-3)])]);

    // Flow into a volume: level goes with −20 log₁₀ of the volume, and the shape stays.
    [Fact]
    public void Of_AStiffSource_FollowsTheVolumeOfTheEar()
    {
        EarSpread spread = EarSpread.Of(_stiff, _problem, new() { SmallEar = 0.7, LargeEar = 1.5, LeftEar = 0.9, RightEar = 1.1 });

        foreach ((string name, double ratio) in new[] { ("small ear", 0.7), ("large ear", 1.5) })
        {
            EarCase one = spread.Cases.Single(one => one.Name == name);
            Assert.Equal(-20 * Math.Log10(ratio), one.Change.LevelDb, 0.02);
            Assert.Equal(0, one.Change.RmsDb, 0.02);
        }

        Assert.Equal(20 * Math.Log10(1.1 / 0.9), spread.Pair.Difference.LevelDb, 0.02);
        Assert.Equal(0, spread.Pair.MaxPhaseDeg, 0.1);
    }

    // Only the entrance moves where there is no residual canal: its volume falls by 1 − 0.92² of C₁ out of all the ear's compliances.
    [Fact]
    public void Jaw_OnAStiffSource_MovesTheLowsAsTheVolumesSay()
    {
        EarSpread spread = EarSpread.Of(_stiff, _problem, new());
        EarSimulator ear = EarSimulator.RefitDamped;
        double all = ear.C1 + ear.C2 + ear.C3 + ear.C4 + ear.C5;
        int at = Enumerable.Range(0, spread.Hz.Count).MinBy(k => Math.Abs(spread.Hz[k] - 100));
        JawMovement jaw = spread.Jaw[0];

        Assert.Equal(-20 * Math.Log10((all - (ear.C1 * (1 - (0.92 * 0.92)))) / all), jaw.Narrows.ChangeDb[at], 2e-3);
        Assert.True(jaw.Widens.Change.LevelDb < 0);
        Assert.True(jaw.Widens.ChangeDb[0] < -1, "the leak takes the lows");
        Assert.True(spread.Jaw[2].Narrows.Change.LevelDb > jaw.Narrows.Change.LevelDb, "a shallow seal leaves more canal to move");
        Assert.Equal(0.8, Jaw.Widens);
    }

    [Fact]
    public void Of_SoftAndStiffSource_TheSoftOneMovesLessWithTheVolume()
    {
        double Level(Earpiece earpiece) => EarSpread.Of(earpiece, _problem, new()).Cases.Single(one => one.Name == "large ear").Change.LevelDb;

        Assert.True(Math.Abs(Level(_soft)) < 0.8 * Math.Abs(Level(_stiff)), $"{Level(_soft)} dB, {Level(_stiff)} dB");
    }

    [Fact]
    public void Movement_OfABuild_IsTheWeightedRmsAndNothingWhereNothingMoves()
    {
        EarSpread spread = EarSpread.Of(_soft, _problem, new());
        EarCase[] weighted = [.. spread.Cases.Where(one => one.Weight > 0)];

        Assert.Equal(7, weighted.Length);
        Assert.Equal(["element set refit-lossless", "element set classic"], spread.Cases.Where(one => one.Weight == 0).Select(one => one.Name));
        Assert.InRange(spread.MovementDb, weighted.Min(one => one.Change.RmsDb), weighted.Max(one => one.Change.RmsDb));
        Assert.Equal(spread.WorstCase, weighted.MaxBy(one => one.Change.RmsDb)!.Name);
        Assert.All(spread.Hz.Select((_, k) => k), k => Assert.True(spread.LowestDb[k] <= spread.HighestDb[k]));

        EarSpread still = EarSpread.Of(_soft, _problem, new() { DeepSeal = 0, ShallowSeal = 0, SmallEar = 1, LargeEar = 1, LeftEar = 1, RightEar = 1 });
        Assert.All(still.Cases.Where(one => one.Name.Contains("seal", StringComparison.Ordinal) || one.Name.Contains("ear", StringComparison.Ordinal)).Where(one => one.Weight > 0),
            one => Assert.Equal((0.0, 0.0), (one.Change.LevelDb, one.Change.RmsDb)));
        Assert.All(still.Pair.LevelDb, db => Assert.Equal(0, db));
    }

    // The model of the ear has some 2 mm of canal before its first side branch to give.
    [Fact]
    public void DeepSeal_DeeperThanTheModelAllows_IsCutAndSaid()
    {
        EarSpread spread = EarSpread.Of(_soft, _problem, new() { DeepSeal = 8e-3 });

        Assert.Equal(_problem.Ear.Room, spread.DeepSeal);
        Assert.InRange(spread.DeepSeal, 1.9e-3, 2.3e-3);
    }
}
