namespace XoverOpt.Search.Tests;

/// <summary>
/// Known outputs of the reference generators of D. Blackman and S. Vigna (xoshiro256**) and S. Vigna (SplitMix64). The numbers are from
/// memory of widely repeated test vectors; the outputs of state 1, 2, 3, 4 can be followed by hand: rotl(2·5, 7)·9 = 11520, then 0.
/// </summary>
public class Random64Tests
{
    [Fact]
    public void Next_FromStateOneTwoThreeFour_IsTheReferenceSequence()
    {
        var random = new Random64([1, 2, 3, 4]);

        Assert.Equal(
            [11520UL, 0, 1509978240, 1215971899390074240, 1216172134540287360, 607988272756665600],
            Enumerable.Range(0, 6).Select(_ => random.Next()));
    }

    [Fact]
    public void Seed_OfTheReferenceVector_SpreadsBySplitMix() => Assert.Equal(
        [6457827717110365317UL, 3203168211198807973, 9817491932198370423],
        new Random64(1234567).State.Take(3));

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(1000)]
    public void State_SavedAnywhere_GoesOnTheSame(int after)
    {
        var random = new Random64(99);
        for (int i = 0; i < after; i++)
        {
            random.Next();
        }

        var resumed = new Random64(random.State);

        Assert.Equal(Enumerable.Range(0, 100).Select(_ => random.Next()).ToArray(), Enumerable.Range(0, 100).Select(_ => resumed.Next()).ToArray());
    }

    [Fact]
    public void State_NotFourWordsOrAllZero_IsRefused()
    {
        Assert.Throws<ArgumentException>(() => new Random64([1UL, 2, 3]));
        Assert.Throws<ArgumentException>(() => new Random64([0UL, 0, 0, 0]));
    }

    // A binomial count has the variance np(1 − p); six standard deviations either side.
    [Fact]
    public void BelowAndNextDouble_ManyDraws_AreEvenAndInRange()
    {
        const int Draws = 60_000;
        var random = new Random64(5);
        int[] below = new int[6], tenths = new int[10];
        for (int i = 0; i < Draws; i++)
        {
            below[random.Below(6)]++;
            tenths[(int)(10 * random.NextDouble())]++;
        }

        Assert.All(below, count => Assert.InRange(count, (Draws / 6) - (6 * Math.Sqrt(Draws * 5 / 36.0)), (Draws / 6) + (6 * Math.Sqrt(Draws * 5 / 36.0))));
        Assert.All(tenths, count => Assert.InRange(count, (Draws / 10) - (6 * Math.Sqrt(Draws * 0.09)), (Draws / 10) + (6 * Math.Sqrt(Draws * 0.09))));
    }
}
