using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

public class MeasuredJudgementTests
{
    private static readonly PhaseGoal Goal = new(PhaseKind.Excess, 20, 12_000, 10, 10e-6);

    private static readonly double[] Audio = [.. Enumerable.Range(0, 241).Select(k => 20 * Math.Pow(1000, k / 240.0))];

    /// <summary>A measured build gets the figures the build itself has: the same arithmetic.</summary>
    [Fact]
    public void Of_ABuildAsMeasuredOnTheWholeGrid_HasTheBuildsOwnFigures()
    {
        Problem problem = SmallProblem.TwoWay();
        ProblemTables tables = new(problem, 24);
        BuildEvaluation evaluation = new(problem);
        MeasuredJudgement judgement = new(problem.Target, problem.Phase);
        Random64 random = new(3);
        for (int k = 0; k < 5; k++)
        {
            Earpiece earpiece = SmallProblem.RandomBuild(tables, new LayoutSpace(problem), random);
            EarpieceResponse response = evaluation.Response(earpiece);
            BuildFigures figures = evaluation.Judge(earpiece).Figures;
            MeasuredFigures measured = judgement.Of(MeasuredCurve.Of("build", response.Hz, response.Pressure, response.Impedance));

            Assert.Equal(figures.MagnitudeRmsDb, measured.MagnitudeRmsDb!.Value, 1e-6);
            Assert.Equal(figures.MagnitudeMaxDb, measured.MagnitudeMaxDb!.Value, 1e-6);
            Assert.Equal(figures.PhaseRmsDeg, measured.PhaseRmsDeg!.Value, 1e-3);
            Assert.Equal(figures.PhaseMaxDeg, measured.PhaseMaxDeg!.Value, 1e-3);
            Assert.Equal(figures.ImpedanceMinOhm, measured.ImpedanceMinOhm!.Value, 1e-6);
            Assert.Equal(figures.Impedance1kHzOhm, measured.Impedance1kHzOhm!.Value, 1e-6);
        }
    }

    /// <summary>1/(1 + jf/f₀) is of minimum phase; behind 250 µs that delay is all there is besides (H. W. Bode, 1945). Data from 20 Hz to 20 kHz only.</summary>
    [Fact]
    public void Of_ADelayedLowPass_ShowsTheDelayAndNoExcessPhase()
    {
        MeasuredFigures figures = Judge(f => 1 / (1 + new Complex(0, f / 900)) * Complex.FromPolarCoordinates(1, -2 * Math.PI * f * 250e-6));

        Assert.Equal(250, figures.DelayUs!.Value, 1.0);
        Assert.InRange(figures.PhaseMaxDeg!.Value, 0, 1.0);
        Assert.InRange(figures.PhaseDoubtDeg!.Value, 0, 15);
        Assert.Empty(figures.Notches);
    }

    /// <summary>(1 − jf/f₀)/(1 + jf/f₀) is level, and its phase −2 atan(f/f₀) all excess: less the best delay, what is left is known by least squares on log frequency.</summary>
    [Fact]
    public void Of_AnAllPass_ShowsItsPhaseAsExcess()
    {
        MeasuredFigures figures = Judge(f => (1 - new Complex(0, f / 700)) / (1 + new Complex(0, f / 700)));

        int[] band = [.. Enumerable.Range(0, figures.OnGrid.Hz.Length).Where(k => double.IsFinite(figures.OnGrid.ExcessDeg[k]))];
        static double Phase(double f) => -2 * Math.Atan(f / 700) * 180 / Math.PI;

        // ∫ f φ d ln f / ∫ f² d ln f over the phase band, by the midpoint rule.
        double[] fine = [.. Enumerable.Range(0, 20_000).Select(k => 20 * Math.Pow(600, (k + 0.5) / 20_000))];
        double slope = fine.Sum(f => f * Phase(f)) / fine.Sum(f => f * f);
        double most = band.Max(k => Math.Abs(figures.OnGrid.ExcessDeg[k] - (Phase(figures.OnGrid.Hz[k]) - (slope * figures.OnGrid.Hz[k]))));
        Assert.InRange(most, 0, 1.5);
        Assert.InRange(figures.PhaseDoubtDeg!.Value, 0, 0.1);
    }

    /// <summary>Two arrivals 1 : g apart by τ leave dips 1/τ apart. With the later one the stronger (g &gt; 1) the zeros lie in the wrong half plane: out of step.</summary>
    [Theory]
    [InlineData(1.25, true)]
    [InlineData(0.8, false)]
    public void Of_TwoArrivals_TellsTheLaterStrongerOneFromTheWeaker(double later, bool cancels)
    {
        const double delay = 250e-6;
        MeasuredFigures figures = Judge(f => 1 + (later * Complex.FromPolarCoordinates(1, -2 * Math.PI * f * delay)));

        MeasuredNotch first = figures.Notches[0];
        Assert.Equal(2000, first.Hz, 60.0);
        Assert.Equal(cancels, first.Cancels!.Value);
        Assert.Contains(figures.Unknown, what => what.StartsWith("summing loss", StringComparison.Ordinal));
    }

    [Fact]
    public void Of_MagnitudeAlone_TellsNoPhase()
    {
        MeasuredCurve curve = MeasuredCurve.Of("level", Audio, [.. Audio.Select(f => new Complex(1, f / 900))]) with { PhaseDeg = null };
        MeasuredFigures figures = new MeasuredJudgement(SmallProblem.TwoWay().Target, Goal).Of(curve);

        Assert.NotNull(figures.MagnitudeRmsDb);
        Assert.Null(figures.PhaseRmsDeg);
        Assert.Null(figures.DelayUs);
        Assert.Contains(figures.Unknown, what => what.Contains("no phase was measured", StringComparison.Ordinal));
    }

    [Fact]
    public void Of_HalfTheBand_TakesFiguresThereAndSaysSo()
    {
        double[] hz = [.. Audio.Where(f => f is >= 100 and <= 5000)];
        MeasuredFigures figures = new MeasuredJudgement(SmallProblem.TwoWay().Target, Goal).Of(MeasuredCurve.Of("part", hz, [.. hz.Select(f => new Complex(1, 0))]));

        Assert.Equal((hz[0], hz[^1]), figures.MagnitudeHz!.Value);
        Assert.Equal(2, figures.Unknown.Count(what => what.Contains(" outside ", StringComparison.Ordinal)));
        Assert.All(figures.OnGrid.Hz.Zip(figures.OnGrid.ErrorDb).Where(at => at.First is < 99 or > 5001), at => Assert.True(double.IsNaN(at.Second)));
    }

    [Fact]
    public void Of_RelativeLevelAgainstAnAbsoluteTarget_IsNotHeldAgainstIt()
    {
        Target target = SmallProblem.TwoWay().Target with { Level = LevelKind.Absolute };
        MeasuredCurve curve = MeasuredCurve.Of("part", Audio, [.. Audio.Select(f => new Complex(1, 0))]) with { IsSpl = false };

        Assert.Contains(new MeasuredJudgement(target, Goal).Of(curve).Unknown, what => what.Contains("no reference", StringComparison.Ordinal));
    }

    private static MeasuredFigures Judge(Func<double, Complex> response) => new MeasuredJudgement(null, Goal).Of(MeasuredCurve.Of("made", Audio, [.. Audio.Select(response)]));
}
