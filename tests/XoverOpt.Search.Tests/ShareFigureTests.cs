using System.Numerics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search.Tests;

/// <summary>The figures a search ranks by, on responses whose answers are known in closed form, from 20 Hz to 12 kHz at 24 points an octave.</summary>
public class ShareFigureTests
{
    private static readonly FrequencyGrid Grid = FrequencyGrid.Standard(24);
    private static readonly double[] Band = Grid.BandWeights(20, 12000);
    private static readonly MinimumPhase Minimum = new(Grid);

    // Plane trigonometry: two equal arrows φ apart add to cos(φ/2) of what they would in step.
    [Theory]
    [InlineData(36, -0.43587)]
    [InlineData(60, -1.24939)]
    [InlineData(90, -3.01030)]
    [InlineData(120, -6.02060)]
    [InlineData(150, -11.74008)]
    public void SummingLoss_TwoEqualSharesApart_IsTheTextbookLevel(double degrees, double level)
    {
        Assert.Equal(-level, WorstLoss(_ => 1, _ => Complex.FromPolarCoordinates(1, degrees * Math.PI / 180)), 1e-5);
        Assert.Equal(level, 20 * Math.Log10(Math.Cos(degrees * Math.PI / 360)), 1e-5);
    }

    // 10 dB is the edge of an overlap: a share that is further below is not judged, however it stands.
    [Fact]
    public void SummingLoss_ShareElevenDecibelBelowAndTurnedOver_IsNoOverlap()
    {
        Assert.Equal(0, WorstLoss(_ => 1, _ => -Math.Pow(10, -11 / 20.0)), 1e-12);
        Assert.True(WorstLoss(_ => 1, _ => -Math.Pow(10, -9 / 20.0)) > 5);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(50e-6, 0)]
    [InlineData(50e-6, 45e-6)]
    [InlineData(-20e-6, 0)]
    [InlineData(400e-6, 380e-6)]
    public void PhaseDeviation_PureDelay_LeavesNothingAndFindsIt(double delay, double nominal)
    {
        (double rms, double max, double found, _) = Deviation(_ => 1, delay, nominal);

        Assert.InRange(rms, 0, 1e-9);
        Assert.InRange(max, 0, 1e-9);
        Assert.Equal(delay, found, 1e-14);
    }

    // First order all-pass (1 − jωτ)/(1 + jωτ) has the phase −2 atan ωτ and no minimum phase; its own least-squares delay is taken out.
    [Theory]
    [InlineData(300, 0)]
    [InlineData(1000, 80e-6)]
    [InlineData(4000, 80e-6)]
    public void PhaseDeviation_AllPass_IsMinusTwiceTheArcTangentLessItsBestDelay(double corner, double delay)
    {
        (_, _, double found, double[] deviation) = Deviation(f => new Complex(1, -f / corner) / new Complex(1, f / corner), delay, delay);

        double[] expected = [.. Grid.Hz.Select(f => -2 * Math.Atan(f / corner))];
        double slope = -Weighted(k => Grid.Omega[k] * expected[k]) / Weighted(k => Grid.Omega[k] * Grid.Omega[k]);
        Assert.Equal(delay + slope, found, 1e-12);
        for (int k = 0; k < Grid.Count; k++)
        {
            if (Band[k] > 0)
            {
                Assert.Equal(expected[k] + (slope * Grid.Omega[k]), deviation[k], 1e-9);
            }
        }
    }

    [Fact]
    public void PhaseDeviation_TurnedOver_IsTheSame()
    {
        static Complex Response(double f) => new Complex(1, f / 300) / new Complex(1, f / 5000) * new Complex(1, -f / 2000) / new Complex(1, f / 2000);

        (double rms, double max, double delay, double[] deviation) = Deviation(Response, 60e-6, 55e-6);
        (double turnedRms, double turnedMax, double turnedDelay, double[] turned) = Deviation(f => -Response(f), 60e-6, 55e-6);

        Assert.Equal(rms, turnedRms, 1e-12);
        Assert.Equal(max, turnedMax, 1e-12);
        Assert.Equal(delay, turnedDelay, 1e-15);
        Assert.All(deviation.Zip(turned), pair => Assert.Equal(pair.First, pair.Second, 1e-12));
    }

    // Both shares are minimum phase but for their delays; 0.1° of minimum phase at 12 kHz is 0.02 µs, hence the tolerance of 0.1 µs.
    [Theory]
    [InlineData(10e-6, false)]
    [InlineData(10e-6, true)]
    [InlineData(-35e-6, false)]
    [InlineData(0, true)]
    public void Arrival_TwoMinimumPhaseSharesApart_IsTheirDistance(double apart, bool turned)
    {
        static Complex Low(double f) => 1 / new Complex(1 - (f / 2000 * (f / 2000)), f / 2000 / 0.7);
        Complex High(double f) => (turned ? -1 : 1) * new Complex(0, f / 1500) / new Complex(1, f / 1500) / new Complex(1, f / 9000);
        double common = 70e-6;

        double low = Arrive(Low, common, High, common + apart, first: true);
        double high = Arrive(Low, common, High, common + apart, first: false);

        Assert.Equal(apart, high - low, 1e-7);
        Assert.Equal(common, low, 1e-7);
    }

    [Fact]
    public void MagnitudeError_RelativeTarget_DoesNotSeeTheLevel()
    {
        double[] target = [.. Grid.Hz.Select(f => 3 * Math.Sin(Math.Log(f)))], flat = new double[Grid.Count];
        double[] log = [.. Grid.Hz.Select(f => 0.2 * Math.Cos(2 * Math.Log(f)))];
        double[] error = new double[Grid.Count], louder = new double[Grid.Count];
        var relative = new MagnitudeError(target, Band, Band, Grid.BandWeights(200, 2000));
        var absolute = new MagnitudeError(flat, Band, Band, null);

        (double rms, double max) = relative.Of(log, error);
        (double louderRms, double louderMax) = relative.Of([.. log.Select(value => value + Math.Log(7))], louder);

        Assert.Equal(rms, louderRms, 1e-12);
        Assert.Equal(max, louderMax, 1e-12);
        Assert.All(error.Zip(louder), pair => Assert.Equal(pair.First, pair.Second, 1e-11));

        // An absolute one sees nothing else: 1 Pa is 20 log₁₀(1/20e-6) = 93.9794 dB above the reference of 20 µPa.
        (double level, double most) = absolute.Of(new double[Grid.Count], error);
        Assert.Equal(93.9794, level, 1e-4);
        Assert.Equal(93.9794, most, 1e-4);
    }

    private static double Weighted(Func<int, double> value) => Enumerable.Range(0, Grid.Count).Sum(k => Band[k] * value(k));

    private static double[] Size(Func<double, Complex> response) => [.. Grid.Hz.Select(f => Complex.Abs(response(f)))];

    private static double[] Log(Func<double, Complex> response) => [.. Grid.Hz.Select(f => Math.Log(Complex.Abs(response(f))))];

    private static Complex Delayed(Func<double, Complex> response, double delay, double f) =>
        response(f) * Complex.FromPolarCoordinates(1, -2 * Math.PI * f * delay);

    private static double WorstLoss(Func<double, Complex> first, Func<double, Complex> second)
    {
        int n = Grid.Count;
        return SummingLoss.Of([.. Size(first), .. Size(second)], Log(f => first(f) + second(f)), 2, n, 0, n, new double[n], new double[2 * n]);
    }

    private static (double Rms, double Max, double Delay, double[] Deviation) Deviation(Func<double, Complex> response, double delay, double nominal)
    {
        double[] minimum = new double[Grid.Count], deviation = new double[Grid.Count];
        Minimum.Apply(Log(response), minimum, 0, Grid.Count);
        (double rms, double max, double found) = new PhaseDeviation(Grid.Omega, Band).Of(
            [.. Grid.Hz.Select(f => Delayed(response, delay, f).Phase)], minimum, nominal, deviation);
        return (rms, max, found, deviation);
    }

    private static double Arrive(Func<double, Complex> low, double lowDelay, Func<double, Complex> high, double highDelay, bool first)
    {
        Func<double, Complex> own = first ? low : high;
        double delay = first ? lowDelay : highDelay;
        double[] minimum = new double[Grid.Count];
        Minimum.Apply(Log(own), minimum, 0, Grid.Count);
        return new Arrival(Grid.Omega, Band).Of(
            Log(own),
            Log(f => Delayed(low, lowDelay, f) + Delayed(high, highDelay, f)),
            [.. Grid.Hz.Select(f => Delayed(own, delay, f).Phase)],
            minimum,
            60e-6,
            new double[Grid.Count]).Delay;
    }
}
