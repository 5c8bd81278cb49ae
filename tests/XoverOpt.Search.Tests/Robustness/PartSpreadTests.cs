using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search.Tests;

/// <summary>Built units: drawn as stated, and the fast evaluation of them against the equations one frequency at a time.</summary>
public class PartSpreadTests
{
    [Fact]
    public void Parts_OfABuild_AreEachReceiverEachComponentDamperAndTube()
    {
        Problem problem = SpreadProblem.ThreeWay();
        Earpiece earpiece = SpreadProblem.Build(problem, 3);
        var spread = new PartSpread(earpiece, problem, new());
        int components = earpiece.Ways.Sum(way => way.Network.Sum(section =>
            (section.Resistance is null ? 0 : 1) + (section.Capacitance is null ? 0 : 1) + (section.Inductance is null ? 0 : 1)) + (way.DamperResistance > 0 ? 1 : 0) + way.Tube.Count);
        Assert.Equal((3 * earpiece.Ways.Sum(way => way.Count)) + components, spread.Parts.Count);
        Assert.Equal(spread.Parts.Count, spread.Parts.Select(part => part.Role).Distinct().Count());
        Assert.Empty(spread.Assumed);
    }

    [Fact]
    public void Parts_WithoutStatedSpread_AreNamedAndTakenToVaryAsUsual()
    {
        Problem problem = SpreadProblem.With(SmallProblem.TwoWay(), null, null);
        Earpiece earpiece = SpreadProblem.Build(problem, 4);
        var spread = new PartSpread(earpiece, problem, new());
        var stated = new PartSpread(earpiece, SpreadProblem.With(problem, UsualSpread.Receiver, 10), new());
        Assert.Equal(stated.Parts.Select(part => part.Role), spread.Parts.Select(part => part.Role));
        Assert.All(spread.Parts.Zip(stated.Parts), pair => Assert.Equal(
            pair.First.Kind switch { SpreadKind.Resistor => 0.01, SpreadKind.Damper => 0.15, _ => pair.Second.Extent }, pair.First.Extent, 12));
        Assert.Contains(spread.Assumed, words => words.Contains($"receiver {earpiece.Ways[0].Receiver.PartNumber} states no spread; taken as 1 dB, 4 %", StringComparison.Ordinal));
        Assert.Equal(spread.Parts.Count(part => !part.IsDeviation && part.Kind != SpreadKind.TubeLength) + earpiece.Ways.Count, spread.Assumed.Count);
        Assert.Contains(spread.Assumed, words => words.EndsWith("states no tolerance; taken as ±1 %", StringComparison.Ordinal));
    }

    [Fact]
    public void Varied_OfEachKind_IsTheDocumentedLaw()
    {
        static double Varied(SpreadKind kind, double nominal, double deviation) => new SpreadPart("x", kind, 0, 0, 1, SpreadShape.Normal).Varied(nominal, deviation);
        Assert.Equal(110, Varied(SpreadKind.Resistor, 100, 0.1), 12);
        Assert.Equal(1, Varied(SpreadKind.Damper, 100, -3), 12);
        Assert.Equal(100 * Math.Exp(0.1), Varied(SpreadKind.Resonance, 100, 0.1), 12);
        Assert.Equal(0.9e-2, Varied(SpreadKind.TubeLength, 1e-2, -1e-3), 12);
        Assert.Equal(0, Varied(SpreadKind.TubeLength, 1e-3, -2e-3));
    }

    [Theory]
    [InlineData(1UL)]
    [InlineData(2UL)]
    [InlineData(5UL)]
    [InlineData(8UL)]
    public void Evaluate_DrawnUnits_AgreesWithThePlainEquations(ulong seed)
    {
        Problem problem = SpreadProblem.ThreeWay();
        Earpiece earpiece = SpreadProblem.Build(problem, seed);
        ProblemTables tables = SpreadStudy.Tables(problem);
        var spread = new PartSpread(earpiece, problem, new());
        var workspace = new SpreadWorkspace(tables, earpiece, spread);
        for (int unit = 0; unit < 6; unit++)
        {
            spread.Draw(9, unit, workspace.Deviations);
            workspace.Evaluate(workspace.Deviations);
            EarpieceResponse plain = spread.Unit(9, unit).Response(problem.Ear, problem.Source, tables.Grid.Hz);
            double largest = plain.Pressure.Max(p => p.Magnitude);
            for (int k = 0; k < tables.Grid.Count; k++)
            {
                var fast = new Complex(workspace.Costs.Kernel.PressureRe[k], workspace.Costs.Kernel.PressureIm[k]);
                Assert.True((fast - plain.Pressure[k]).Magnitude <= 1e-9 * plain.Pressure[k].Magnitude, $"{tables.Grid.Hz[k]} Hz of unit {unit}");
                var admittance = new Complex(workspace.Costs.Kernel.AdmittanceRe[k], workspace.Costs.Kernel.AdmittanceIm[k]);
                Assert.True(((admittance * plain.Impedance[k]) - 1).Magnitude <= 1e-9);
            }

            Assert.True(largest > 0);
        }
    }

    [Fact]
    public void Evaluate_ExactParts_GivesTheFiguresOfTheBuild()
    {
        Problem problem = SpreadProblem.ThreeWay() with { Limits = new() { MinPeakSpl = [new(50, 120), new(1000, 118)], MinSplAt100mV = 100, MinImpedance = 20 } };
        for (ulong seed = 1; seed < 6; seed++)
        {
            Earpiece earpiece = SpreadProblem.Build(problem, seed);
            RankedBuild judged = new BuildEvaluation(problem).Judge(earpiece);
            var spread = new PartSpread(earpiece, problem, new());
            var workspace = new SpreadWorkspace(SpreadStudy.Tables(problem), earpiece, spread);
            CostFigures figures = workspace.Evaluate(new double[spread.Parts.Count]);
            (long broken, double penalty) = new YieldLimits(problem, earpiece).Judge(figures, workspace);
            Assert.Equal(judged.Cost.Total, figures.Cost.Total + penalty, 1e-6 * judged.Cost.Total);
            Assert.Equal(judged.Figures.MagnitudeMaxDb, figures.MagnitudeMaxDb, 1e-8);
            Assert.Equal(judged.Figures.SplAt100mV, figures.SplAt100mV, 1e-8);
            Assert.Equal(judged.Feasible, broken == 0);
            Assert.Equal(judged.BrokenLimits.Count, BitOperations.PopCount((ulong)broken));
            foreach (double hz in new[] { 50.0, 1000 })
            {
                Assert.Equal(Headroom.At(earpiece, problem.Ear, hz).Spl, new YieldPeaks(earpiece, problem.Ear, hz).Spl(workspace.Ways, workspace.Pieces), 1e-6);
            }
        }
    }

    // Two unlike receivers on one spout with nothing before or behind them are two ways of one receiver each: the plain equations know those.
    [Fact]
    public void Spl_OfUnlikeReceivers_IsThatOfTwoWays()
    {
        Problem problem = SpreadProblem.ThreeWay();
        Way way = new("low", SmallProblem.Low1.Receiver, 2, Wiring.Parallel, Polarity.Normal, [], 0, []);
        Earpiece earpiece = new([way]);
        var spread = new PartSpread(earpiece, problem, new());
        var workspace = new SpreadWorkspace(SpreadStudy.Tables(problem), earpiece, spread);
        for (int unit = 0; unit < 10; unit++)
        {
            spread.Draw(3, unit, workspace.Deviations);
            workspace.Set(workspace.Deviations);
            IReadOnlyList<Receiver> pieces = spread.Unit(3, unit).Ways[0].Receivers;
            Assert.NotEqual(pieces[0], pieces[1]);
            Earpiece apart = new([way with { Count = 1, Receiver = pieces[0] }, way with { Count = 1, Receiver = pieces[1] }]);
            foreach (double hz in new[] { 50.0, 1000, 4000 })
            {
                Assert.Equal(Headroom.At(apart, problem.Ear, hz).Spl, new YieldPeaks(earpiece, problem.Ear, hz).Spl(workspace.Ways, workspace.Pieces), 1e-6);
                Complex whole = PlainPressure(apart, problem, hz), joined = spread.Unit(3, unit).Response(problem.Ear, problem.Source, [hz]).Pressure[0];
                Assert.True((whole - joined).Magnitude <= 1e-9 * whole.Magnitude);
            }
        }
    }

    [Fact]
    public void Draw_OfTheSameRole_IsTheSameInEveryBuild()
    {
        Problem problem = SpreadProblem.ThreeWay();
        PartSpread one = new(SpreadProblem.Build(problem, 1), problem, new()), two = new(SpreadProblem.Build(problem, 2), problem, new());
        SpreadPart[] shared = [.. one.Parts.Where(part => two.Parts.Any(other => other.Role == part.Role && other.Extent == part.Extent))];
        Assert.True(shared.Length > 5);
        foreach (SpreadPart part in shared)
        {
            SpreadPart other = two.Parts.First(second => second.Role == part.Role);
            Assert.Equal(part.Draw(7, 4711), other.Draw(7, 4711));
            Assert.NotEqual(part.Draw(7, 4711), part.Draw(8, 4711));
            Assert.NotEqual(part.Draw(7, 4711), part.Draw(7, 4712));
        }
    }

    // Mean 0; σ, a/3, the cut normal's 2-σ variance 1 − 4φ(2)/(2Φ(2) − 1) = 0.7737413 (of σ = a/2), a/√3 and √3 σ: closed forms of these distributions.
    [Theory]
    [InlineData(SpreadKind.Sensitivity, SpreadShape.Normal, 2.0)]
    [InlineData(SpreadKind.Damper, SpreadShape.Normal, 2.0 / 3)]
    [InlineData(SpreadKind.Damper, SpreadShape.TruncatedNormal, 0.8796257)]
    [InlineData(SpreadKind.Damper, SpreadShape.Uniform, 1.1547005)]
    [InlineData(SpreadKind.Sensitivity, SpreadShape.Uniform, 2.0)]
    public void Draw_ManyUnits_HasTheStatedDeviation(SpreadKind kind, SpreadShape shape, double expected)
    {
        var part = new SpreadPart("low thing", kind, 0, 0, 2, shape);
        double[] drawn = [.. Enumerable.Range(0, 40_000).Select(unit => part.Draw(5, unit))];
        SpreadEstimate mean = SpreadEstimate.Mean(drawn), deviation = SpreadEstimate.Deviation(drawn);
        Assert.InRange(mean.Value, -4 * mean.StandardError, 4 * mean.StandardError);
        Assert.Equal(expected, part.StandardDeviation, 1e-7);
        Assert.InRange(deviation.Value, expected - (4 * deviation.StandardError), expected + (4 * deviation.StandardError));
        Assert.True(shape == SpreadShape.Normal || drawn.Max(Math.Abs) <= 2 * (part.IsDeviation ? Math.Sqrt(3) : 1));
    }

    private static Complex PlainPressure(Earpiece earpiece, Problem problem, double hz) =>
        PlainResponse.At(earpiece, problem.Ear, problem.Source, 2 * Math.PI * hz).DrumPressure;
}
