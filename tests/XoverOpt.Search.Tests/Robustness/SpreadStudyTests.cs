using MathNet.Numerics;
using MathNet.Numerics.Distributions;
using MathNet.Numerics.Integration;
using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

/// <summary>Studies against closed forms, within their own stated standard errors, and the same bits for any number of threads.</summary>
public class SpreadStudyTests
{
    private const int Errors = 4;

    // So weak a motor that its back-EMF does not count: a dB of sensitivity is a dB at every frequency, and nothing else varies.
    private static readonly StockReceiver _weak = SmallProblem.Low1 with
    {
        Receiver = SmallProblem.Low1.Receiver with { PartNumber = "weak", ForceFactor = 1e-4 },
        Spread = new(1, 0, 0),
    };

    private static readonly Earpiece _single = new([new Way("low", _weak.Receiver, 1, Wiring.Parallel, Polarity.Normal, [], 0, [])]);

    [Fact]
    public void Study_OfOneNormalSensitivity_IsTheNormalDistribution()
    {
        Problem problem = Flat();
        SpreadResult result = SpreadProblem.Run(problem, _single, new() { Samples = 8000, Seed = 3 });
        Assert.Single(result.Parts);
        Within(1, result.SplDeviationDb);
        Within(0, new(result.SplAt100mV.Value - Spl(problem), result.SplAt100mV.StandardError));

        // The target is the response itself: a unit passes while |x| ≤ 1.5 and x ≥ −0.5.
        Within(Normal.CDF(0, 1, 1.5) - Normal.CDF(0, 1, -1.5), result.Limits[0].Yield);
        Within(1 - Normal.CDF(0, 1, -0.5), result.Limits.First(limit => limit.Limit.StartsWith("SPL", StringComparison.Ordinal)).Yield);
        Within(Normal.CDF(0, 1, 1.5) - Normal.CDF(0, 1, -0.5), result.Yield);

        // Left less right is normal with √2 dB: erf(1/2) within 1 dB.
        double sides = SpecialFunctions.Erf(0.5);
        Within(sides, result.SideYield);
        Within(sides, result.SideVoiceYield);
        Within(sides, result.SideBalanceYield);
        SpreadPoint at = result.Points[60];
        Within(Normal.InvCDF(0, 1, 0.995), new(at.HighDb.Value - at.NominalDb, at.HighDb.StandardError));
        Within(Math.Sqrt(2) * Normal.InvCDF(0, 1, 0.75), at.SideMedianDb);
        Within(Math.Sqrt(2) * Normal.InvCDF(0, 1, 0.975), at.SideHighDb);
        Assert.InRange(at.SideHighDeg.Value, 0, 0.001);
    }

    // A dB of sensitivity is a dB at every frequency: a unit is inside everywhere as soon as it is so anywhere. With two resistors and a coil the level
    // has a shape, and fewer are inside everywhere than at each.
    [Fact]
    public void Inside_AtEveryFrequencyAtOnce_IsTheCoverageWhereAllMoveTogetherAndLessElsewhere()
    {
        SpreadSettings settings = new() { Samples = 8000, Seed = 3, Coverage = 0.95 };
        SpreadResult result = SpreadProblem.Run(Flat(), _single, settings);
        double high = result.Points[0].HighDb.Value - result.Points[0].NominalDb;
        Within(0.95, result.Inside(0, null));
        Within(Normal.CDF(0, 1, high + 0.5) - Normal.CDF(0, 1, -high - 0.5), result.Inside(0.5, null), 0.003);
        Problem three = SpreadProblem.ThreeWay();
        SpreadResult shaped = SpreadProblem.Run(three, SpreadProblem.Build(three, 7), settings with { Samples = 400 });
        Assert.InRange(shaped.Inside(0, null).Value, 0.3, 0.93);
        Assert.InRange(shaped.Inside(0, 0).Value, 0.1, shaped.Inside(0, null).Value);
        Assert.Equal(1, shaped.Inside(60, 1e6).Value);
    }

    // A level band between two frequencies of the study takes the nearest, and so no pair passes for want of anything to compare.
    [Fact]
    public void SideBalance_OfALevelBandBetweenTwoFrequencies_IsStillJudged()
    {
        Problem problem = Flat();
        problem = problem with { Target = problem.Target with { LevelLowHz = 1010, LevelHighHz = 1020 } };
        Within(SpecialFunctions.Erf(0.5), SpreadProblem.Run(problem, _single, new() { Samples = 2000, Seed = 3 }).SideBalanceYield);
    }

    // Two resistors of 10 % before a coil that takes no current: level = R₂/(R₁ + R₂). Mean and deviation by Gauss–Legendre over the even band; the
    // two are alike, so each has half of what goes in a straight line.
    [Fact]
    public void Study_OfADivider_HasItsMeanDeviationAndShares()
    {
        Problem problem = Flat(10);
        StockReceiver still = _weak with { Receiver = _weak.Receiver with { DcResistance = 1e9, Inductance = null, SemiInductance = null }, Spread = new(0, 0, 0) };
        problem = problem with { Ways = [problem.Ways[0] with { Receivers = [still] }], Source = new(0.1, 0) };
        Earpiece divider = new([new Way(
            "low", still.Receiver, 1, Wiring.Parallel, Polarity.Normal, [new(SectionPlace.Series, 100), new(SectionPlace.Shunt, 100)], 0, [])]);
        SpreadResult result = SpreadProblem.Run(problem, divider, new() { Samples = 8000, Seed = 4 });
        Assert.Equal(2, result.Parts.Count);
        static double Level(double a, double b) => 20 * Math.Log10((1 + b) / ((1 + a) + (1 + b)) * 2);
        double Mean(Func<double, double> of) => GaussLegendreRule.Integrate((a, b) => of(Level(a, b)), -0.1, 0.1, -0.1, 0.1, 32) / 0.04;
        double mean = Mean(x => x), deviation = Math.Sqrt(Mean(x => x * x) - (mean * mean));
        Within(mean, new(result.SplAt100mV.Value - Spl(problem, divider), result.SplAt100mV.StandardError));
        Within(deviation, result.SplDeviationDb);
        Assert.All(result.Shares, share => Within(0.5, share.Share, 0.002));
        Within(1, result.ShareSum, 0.002);
    }

    // n alike receivers into a stiff load vary each by itself: their mean has 1/√n of the deviation (closed form for independent pieces).
    [Fact]
    public void Study_OfFourReceivers_VariesHalfAsMuchAsOfOne()
    {
        Problem problem = Flat();
        Earpiece four = new([_single.Ways[0] with { Count = 4 }]);
        SpreadResult result = SpreadProblem.Run(problem, four, new() { Samples = 4000, Seed = 5 });
        Assert.Equal(4, result.Parts.Count);

        // The mean of four lognormal gains, in dB, to second order in σ ln 10/20 = 0.115: 0.5 % of the deviation.
        Within(0.5, result.SplDeviationDb, 0.005);
        Assert.All(result.Shares, share => Within(0.25, share.Share, 0.002));
    }

    [Fact]
    public void Study_OnOneTwoAndEightThreads_HasTheSameBits()
    {
        Problem problem = SpreadProblem.ThreeWay();
        Earpiece earpiece = SpreadProblem.Build(problem, 6);
        SpreadSettings settings = new() { Samples = 600 };
        string once = Text(SpreadProblem.Run(problem, earpiece, settings, 1));
        Assert.Equal(once, Text(SpreadProblem.Run(problem, earpiece, settings, 2)));
        Assert.Equal(once, Text(SpreadProblem.Run(problem, earpiece, settings, 8)));
        Assert.NotEqual(once, Text(SpreadProblem.Run(problem, earpiece, settings with { Seed = 2 }, 2)));
    }

    // The pass or fail of each unit alone, from the plain unit's own response.
    [Fact]
    public void Points_OfFewUnits_AreThoseOfThePlainResponses()
    {
        Problem problem = SpreadProblem.ThreeWay();
        Earpiece earpiece = SpreadProblem.Build(problem, 7);
        SpreadSettings settings = new() { Samples = 200, Coverage = 0.9 };
        SpreadResult result = SpreadProblem.Run(problem, earpiece, settings);
        var spread = new PartSpread(earpiece, problem, settings);
        SpreadPoint at = result.Points[50];
        double[] levels = [.. Enumerable.Range(0, 200).Select(unit => 20 * Math.Log10(spread.Unit(settings.Seed, unit).Response(problem.Ear, problem.Source, [at.Hz]).Pressure[0].Magnitude / 20e-6))];
        double[] sides = [.. Enumerable.Range(0, 100).Select(pair => Math.Abs(levels[2 * pair] - levels[(2 * pair) + 1])).Order()];
        Array.Sort(levels);
        Assert.Equal(levels[9], at.LowDb.Value, 1e-7);
        Assert.Equal(levels[99], at.MedianDb.Value, 1e-7);
        Assert.Equal(levels[189], at.HighDb.Value, 1e-7);
        Assert.Equal(sides[94], at.SideHighDb.Value, 1e-7);
    }

    [Fact]
    public void YieldOver_OfACommonDraw_IsSurerThanTheYields()
    {
        Problem problem = Flat();
        SpreadSettings settings = new() { Samples = 2000 };
        SpreadResult one = SpreadProblem.Run(problem, _single, settings);
        SpreadResult wider = SpreadProblem.Run(problem with { Target = problem.Target with { ToleranceDb = 1.6 } }, _single, settings);
        SpreadEstimate over = wider.YieldOver(one);
        Assert.InRange(over.Value, 0.001, 0.05);
        Assert.True(over.StandardError < 0.6 * one.Yield.StandardError);
        Assert.Throws<ArgumentException>(() => one.YieldOver(SpreadProblem.Run(problem, _single, settings with { Seed = 9 })));
    }

    [Theory]
    [InlineData(100)]
    [InlineData(201)]
    [InlineData(200_000)]
    public void Study_OfAWrongNumberOfUnits_IsRefused(int samples) =>
        Assert.Throws<ArgumentException>(() => new SpreadStudy(Flat(), _single, new() { Samples = samples }));

    [Fact]
    public void TestLimits_OfAStudy_AreItsRangeAndTheAllowance()
    {
        SpreadResult result = SpreadProblem.Run(Flat(), _single, new() { Samples = 400 });
        TestLimits limits = TestLimits.Of(result, 0.7, 3);
        Assert.Equal(result.Points.Count, limits.Rows.Count);
        Assert.Equal(result.Points[20].LowDb.Value - 0.7, limits.Rows[20].LowDb, 12);
        Assert.Equal(result.Points[20].HighOhm.Value * 1.03, limits.Rows[20].HighOhm, 9);
        Assert.All(limits.Rows, row => Assert.True(row.LowDb < row.ExpectedDb && row.ExpectedDb < row.HighDb));
    }

    private static void Within(double expected, SpreadEstimate found, double beyond = 0) => Assert.InRange(
        found.Value, expected - beyond - (Errors * found.StandardError), expected + beyond + (Errors * found.StandardError));

    /// <summary>A job whose target is the response of the single weak receiver itself, at its absolute level.</summary>
    private static Problem Flat(double? tolerancePercent = null)
    {
        Problem two = SpreadProblem.With(SmallProblem.TwoWay(), new(1, 0, 0), tolerancePercent);
        Problem problem = two with { Ways = [two.Ways[0] with { Receivers = [_weak] }], Phase = two.Phase with { LimitDeg = 180, ArrivalLimit = 1 } };
        EarpieceResponse response = new BuildEvaluation(problem).Response(_single);
        LogCurve curve = new(response.Hz, [.. response.Pressure.Select(p => 20 * Math.Log10(p.Magnitude / 20e-6))]);
        problem = problem with { Target = problem.Target with { Curve = curve, Level = LevelKind.Absolute, ToleranceDb = 1.5 } };
        return problem with { Limits = new() { MinSplAt100mV = Spl(problem) - 0.5 } };
    }

    private static double Spl(Problem problem, Earpiece? earpiece = null) => new BuildEvaluation(problem).Judge(earpiece ?? _single).Figures.SplAt100mV;

    private static string Text(SpreadResult result) => System.Text.Json.JsonSerializer.Serialize(result, SearchRunner.Json);
}
