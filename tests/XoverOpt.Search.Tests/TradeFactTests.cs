using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

/// <summary>Facts of the trade; common practice, no source.</summary>
public class TradeFactTests
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

    // Where two ways in step meet, each gives half: turned over, they cancel there and nowhere else. Of many random builds, the one whose
    // ways meet just once, between 1 and 2 kHz, and are most nearly in step there.
    [Fact]
    public void LowWay_TurnedOver_DigsAHoleAroundTheCrossover()
    {
        Problem problem = SmallProblem.TwoWay() with { Source = new Source(0.1, 0) };
        var evaluation = new BuildEvaluation(problem);
        var tables = new ProblemTables(problem, 24);
        var space = new LayoutSpace(problem);
        var random = new Random64(77);
        (Earpiece build, EarpieceResponse asMarked, int crossover) = Enumerable.Range(0, 400)
            .Select(_ => SmallProblem.RandomBuild(tables, space, random))
            .Select(build => (build, response: evaluation.Response(build)))
            .Select(pair => (pair.build, pair.response, at: Crossover(pair.response)))
            .Where(found => found.at >= 0)
            .MinBy(found => Math.Abs((found.response.Ways[0].Pressure[found.at] / found.response.Ways[1].Pressure[found.at]).Phase));

        Way low = build.Ways[0];
        EarpieceResponse turned = evaluation.Response(new([low with { Polarity = low.Polarity == Polarity.Normal ? Polarity.Inverted : Polarity.Normal }, build.Ways[1]]));
        double Change(int k) => 20 * Math.Log10(turned.Pressure[k].Magnitude / asMarked.Pressure[k].Magnitude);
        int[] band = [.. Enumerable.Range(0, asMarked.Hz.Length).Where(k => asMarked.Hz[k] is >= 50 and <= 12000)];
        int hole = band.MinBy(Change);

        TestContext.Current.TestOutputHelper?.WriteLine($"hole of {Change(hole):F1} dB at {asMarked.Hz[hole]:F0} Hz, crossover at {asMarked.Hz[crossover]:F0} Hz");
        Assert.True(Change(hole) < -10, $"{Change(hole):F1} dB");
        Assert.InRange(asMarked.Hz[hole] / asMarked.Hz[crossover], 0.7, 1.4);
        Assert.True(Math.Abs(Change(band[0])) < Math.Abs(Change(hole)) / 4, $"{Change(band[0]):F1} dB at {asMarked.Hz[band[0]]:F0} Hz");
    }

    /// <summary>Where the shares of two ways are equal, if that is between 1 and 2 kHz and nowhere else from 300 Hz to 6 kHz; else −1.</summary>
    private static int Crossover(EarpieceResponse response)
    {
        bool LowLeads(int k) => response.Ways[0].Pressure[k].Magnitude > response.Ways[1].Pressure[k].Magnitude;
        int[] meets = [.. Enumerable.Range(1, response.Hz.Length - 1).Where(k => response.Hz[k] is > 300 and < 6000 && LowLeads(k) != LowLeads(k - 1))];
        return meets is [var at] && response.Hz[at] is >= 1000 and <= 2000 && LowLeads(at - 1) ? at : -1;
    }
}
