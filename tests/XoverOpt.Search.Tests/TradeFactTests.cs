using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

/// <summary>Facts of the trade; common practice, no source.</summary>
public class TradeFactTests(FinishedSearch finished) : IClassFixture<FinishedSearch>
{
    // Twice the receivers on the same voltage give at most twice the flow; into an ear that gives way, less.
    [Theory]
    [InlineData("low-1")]
    [InlineData("low-3")]
    public void LowWay_DoubledInParallel_GainsSomethingAndAtMostSixDecibel(string part)
    {
        Problem problem = SmallProblem.TwoWay() with { Source = new Source(0.1, 0) };
        var evaluation = new BuildEvaluation(problem);
        Receiver receiver = problem.Ways[0].Receivers.Single(stock => stock.Receiver.PartNumber == part).Receiver;
        double[] hz = [20, 50, 100, 200];
        Complex[] Alike(int count) => evaluation.Response(
            new([new("low", receiver, count, Wiring.Parallel, Polarity.Normal, [], 0, [new(12e-3, 1.5e-3)])]), hz).Pressure;

        double[] gain = [.. Alike(2).Zip(Alike(1)).Select(pair => 20 * Math.Log10(pair.First.Magnitude / pair.Second.Magnitude))];

        TestContext.Current.TestOutputHelper?.WriteLine($"{part}: {string.Join(", ", gain.Select(db => db.ToString("F2", null)))} dB");
        Assert.All(gain, db => Assert.InRange(db, 0.1, 20 * Math.Log10(2) + 1e-6));
    }

    // Where two ways in step meet, each gives half: turned over, they cancel there and nowhere else.
    [Fact]
    public void LowWay_TurnedOver_DigsAHoleAroundTheCrossover()
    {
        RankedBuild best = finished.Search.Result().Builds[0];
        Assert.True(best.Figures.SummingLossDb < 3, $"ways are not in step: {best.Figures.SummingLossDb:F1} dB");
        var evaluation = new BuildEvaluation(finished.Search.Problem);
        EarpieceResponse asMarked = evaluation.Response(best.Earpiece);
        Way low = best.Earpiece.Ways[0];
        EarpieceResponse turned = evaluation.Response(new([low with { Polarity = Polarity.Inverted }, .. best.Earpiece.Ways.Skip(1)]));

        int[] band = [.. Enumerable.Range(0, asMarked.Hz.Length).Where(k => asMarked.Hz[k] is >= 100 and <= 12000)];
        double Change(int k) => 20 * Math.Log10(turned.Pressure[k].Magnitude / asMarked.Pressure[k].Magnitude);
        double Balance(int k) => Math.Abs(Math.Log(asMarked.Ways[0].Pressure[k].Magnitude / asMarked.Ways[1].Pressure[k].Magnitude));
        int hole = band.MinBy(Change), crossover = band.MinBy(Balance);

        TestContext.Current.TestOutputHelper?.WriteLine($"hole of {Change(hole):F1} dB at {asMarked.Hz[hole]:F0} Hz, crossover at {asMarked.Hz[crossover]:F0} Hz");
        Assert.True(Change(hole) < -10);
        Assert.InRange(asMarked.Hz[hole] / asMarked.Hz[crossover], 0.5, 2);
        Assert.InRange(Change(band[0]), -1, 1);
    }
}
