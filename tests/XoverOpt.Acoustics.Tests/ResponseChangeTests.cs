using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Acoustics.Tests;

public class ResponseChangeTests
{
    private static readonly double[] Hz = [100, 1000, 10_000];

    // By hand: the level moves by 2 dB where it is judged; what is left is 0, 3 and −1 dB, of which the last two are weighted by 1 and 3.
    [Fact]
    public void Of_AChange_IsSplitIntoLevelAndShape()
    {
        var change = ResponseChange.Of(Hz, [2, 5, 1], [1, 0, 0], [0, 0.25, 0.75]);

        Assert.Equal(2, change.LevelDb, 12);
        Assert.Equal(Math.Sqrt((0.25 * 9) + 0.75), change.RmsDb, 12);
        Assert.Equal((3, 1000), (change.MaxDb, change.MaxAtHz));
    }

    [Fact]
    public void Of_AShapeWithoutFrequencies_IsRefused() =>
        Assert.Contains("above 0", Assert.Throws<ArgumentException>(() => ResponseChange.Of(Hz, [2, 5, 1], [1, 0, 0], [0, 0, 0])).Message, StringComparison.Ordinal);
}
