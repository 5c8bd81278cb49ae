namespace XoverOpt.Search.Tests;

/// <summary>What a shape-preserving curve promises (F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17 (1980)).</summary>
public class LogCurveTests
{
    public static TheoryData<int> Seeds => [.. Enumerable.Range(1, 40)];

    [Theory]
    [MemberData(nameof(Seeds))]
    public void At_BetweenRandomPoints_IsMonotoneAndNeverOvershoots(int seed)
    {
        (double[] hz, double[] db, LogCurve curve) = RandomCurve((ulong)seed);

        for (int i = 0; i + 1 < hz.Length; i++)
        {
            double last = db[i], rise = Math.Sign(db[i + 1] - db[i]);
            for (int step = 1; step <= 64; step++)
            {
                double value = curve.At(hz[i] * Math.Pow(hz[i + 1] / hz[i], step / 64.0));
                Assert.InRange(value, Math.Min(db[i], db[i + 1]) - 1e-9, Math.Max(db[i], db[i + 1]) + 1e-9);
                Assert.True(rise * (value - last) >= -1e-9, $"turns back between {hz[i]:G5} and {hz[i + 1]:G5} Hz");
                last = value;
            }
        }
    }

    [Theory]
    [MemberData(nameof(Seeds))]
    public void At_ItsPointsAndBeyondItsEnds_IsTheirValue(int seed)
    {
        (double[] hz, double[] db, LogCurve curve) = RandomCurve((ulong)seed);

        Assert.All(hz.Zip(db), point => Assert.Equal(point.Second, curve.At(point.First), 1e-9));
        Assert.Equal(db[0], curve.At(hz[0] / 7));
        Assert.Equal(db[^1], curve.At(hz[^1] * 7));
    }

    [Fact]
    public void At_TwoPoints_IsStraightOnLogFrequency() => Assert.Equal(3, new LogCurve([100, 10000], [0, 6]).At(1000), 1e-12);

    [Fact]
    public void Flat_Anywhere_IsItsValue() => Assert.All([1.0, 1000, 1e6], hz => Assert.Equal(-2.5, LogCurve.Flat(-2.5).At(hz)));

    [Fact]
    public void New_NoPointsUnevenListsOrFallingFrequencies_IsRefused()
    {
        Assert.Throws<ArgumentException>(() => new LogCurve([], []));
        Assert.Throws<ArgumentException>(() => new LogCurve([1, 2], [1]));
        Assert.Throws<ArgumentException>(() => new LogCurve([2, 1], [0, 0]));
        Assert.Throws<ArgumentException>(() => new LogCurve([1, 1], [0, 0]));
    }

    private static (double[] Hz, double[] Db, LogCurve Curve) RandomCurve(ulong seed)
    {
        var random = new Random64(seed);
        int points = 2 + random.Below(12);
        double[] hz = [.. Enumerable.Range(0, points).Select(_ => 20 * Math.Pow(1000, random.NextDouble())).Order()];
        double[] db = [.. hz.Select(_ => random.Below(4) == 0 ? 0 : (20 * random.NextDouble()) - 10)];
        return (hz, db, new LogCurve(hz, db));
    }
}
