using System.Globalization;
using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop.Paperwork;
using XoverOpt.Workshop.Tests.Inspection;

namespace XoverOpt.Workshop.Tests;

public class PlotTests
{
    private static readonly BuildInJob Demo = DemoBuild.Whole();

    [Fact]
    public void Svg_EveryDrawingOfADemoBuild_IsPlainSvgWhoseLabelsKeepApart()
    {
        foreach (string name in BuildDrawings.Names)
        {
            string svg = BuildDrawings.Svg(name, Demo, 2, TestContext.Current.CancellationToken);
            DrawnPicture drawn = new(svg);
            Assert.Empty(drawn.Faults([]).Select(fault => $"{name}: {fault}"));
            Assert.True(drawn.Labels.Count > 5, name);
            Assert.NotEmpty(drawn.Elements("title").Single().Value);
            Assert.NotEmpty(drawn.Elements("desc").Single().Value);
            // What a strict content policy refuses, and what a second picture on the same page would clash with.
            Assert.DoesNotContain(drawn.Root.DescendantsAndSelf(), element => element.Name.LocalName is "script" or "style" or "image" or "use" or "a"
                || element.Attributes().Any(attribute => attribute.Name.LocalName is "style" or "id" or "href" || attribute.Name.LocalName.StartsWith("on", StringComparison.Ordinal)));
            Assert.DoesNotContain("NaN", svg, StringComparison.Ordinal);
            Assert.DoesNotContain("∞", svg, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Svg_UnderACommaDecimalCulture_IsTheSame()
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            string[] invariant = [.. BuildDrawings.Names.Select(name => BuildDrawings.Svg(name, Demo, 2, TestContext.Current.CancellationToken))];
            CultureInfo comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
            (comma.NumberFormat.NumberDecimalSeparator, comma.NumberFormat.NegativeSign) = (",", "~");
            CultureInfo.CurrentCulture = comma;
            string[] there = [.. BuildDrawings.Names.Select(name => BuildDrawings.Svg(name, Demo, 1, TestContext.Current.CancellationToken))];
            Assert.Equal(invariant, there);
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void Curves_OfADemoBuild_HaveItsFigures()
    {
        BuildCurves curves = BuildCurves.Of(Demo.Build.Earpiece, Demo.Job.Problem);
        RankedBuild judged = new BuildEvaluation(Demo.Job.Problem).Judge(Demo.Build.Earpiece);
        double Most(IEnumerable<double> values) => values.Where(double.IsFinite).Max(Math.Abs);

        Assert.Equal(judged.Figures.MagnitudeMaxDb, Most(curves.LevelDb.Zip(curves.TargetDb, (level, target) => level - target)), 6);
        Assert.Equal(judged.Figures.PhaseMaxDeg, Most(curves.PhaseFigureDeg), 6);
        Assert.Equal(judged.Figures.ArrivalUs, curves.Ways.Select(way => way.ArrivalUs), (a, b) => Math.Abs(a - b) < 1e-6);
        Assert.Equal(judged.Figures.ImpedanceMinOhm, curves.ImpedanceOhm.Where((_, k) => double.IsFinite(curves.TargetDb[k])).Min(), 6);
        // Shares at one frequency against the oracle of the model.
        int at = Array.FindIndex(curves.Hz, hz => hz >= 1000);
        PlainResponse plain = PlainResponse.At(Demo.Build.Earpiece, Demo.Job.Problem.Ear, Demo.Job.Problem.Source, 2 * Math.PI * curves.Hz[at]);
        Assert.Equal(plain.Shares.Select(share => 20 * Math.Log10(share.Magnitude / 20e-6)), curves.Ways.Select(way => way.ShareDb[at]), (a, b) => Math.Abs(a - b) < 1e-6);
        Assert.Equal(plain.SocketImpedance.Magnitude, curves.ImpedanceOhm[at], 6);
    }

    /// <summary>A delay of a tube's length over the speed of sound shows as group delay wherever the way is far from any resonance: Δφ by hand.</summary>
    [Fact]
    public void Curves_GroupDelay_IsTheSlopeOfThePhase()
    {
        BuildCurves curves = BuildCurves.Of(Demo.Build.Earpiece, Demo.Job.Problem);
        int at = Array.FindIndex(curves.Hz, hz => hz >= 3000);
        double Phase(double hz) => PlainResponse.At(Demo.Build.Earpiece, Demo.Job.Problem.Ear, Demo.Job.Problem.Source, 2 * Math.PI * hz).DrumPressure.Phase;
        double slope = -Math.IEEERemainder(Phase(curves.Hz[at] + 1) - Phase(curves.Hz[at] - 1), 2 * Math.PI) / (2 * Math.PI * 2);

        Assert.InRange(curves.GroupDelayMs[at] / (slope * 1e3), 0.98, 1.02);
    }

    [Theory]
    [InlineData(0, 1, 0, 1, 0.2)]
    [InlineData(-10, 10, -10, 10, 5)]
    [InlineData(71.3, 104.2, 70, 105, 5)]
    [InlineData(0.51, 0.58, 0.51, 0.58, 0.01)]
    [InlineData(3, 3, 3, 3.003, 0.0005)]
    public void Scale_AroundTwoNumbers_EndsOnTicksOfOneTwoOrFive(double low, double high, double from, double to, double step)
    {
        PlotScale scale = PlotScale.Around(low, high);

        Assert.True(scale.Low <= low && scale.High >= high && scale.Ticks.Count() <= 10);
        Assert.Equal((from, to, step), (Math.Round(scale.Low, 6), Math.Round(scale.High, 6), Math.Round(scale.Step, 6)));
    }

    [Fact]
    public void Names_WithMarkupOrTooLong_ComeOutAsTextAndStayOnThePaper()
    {
        Earpiece earpiece = new([.. Demo.Build.Earpiece.Ways.Select((way, n) => way with { Name = "<script>alert(1)</script>&\"' " + new string('w', 40 * n) })]);
        BuildCurves curves = BuildCurves.Of(earpiece, Demo.Job.Problem);
        foreach (string svg in new[] { SharesPlot.Svg(curves), DelayPlot.ArrivalSvg(curves), PeakPlot.Svg(curves), NetworkSchematic.Svg(earpiece), AssemblyDrawing.Svg(earpiece, _ => null) })
        {
            DrawnPicture drawn = new(svg);
            Assert.Empty(drawn.Faults([]));
            Assert.Empty(drawn.Elements("script"));
            Assert.Contains(drawn.Labels, label => label.Text.Contains("<script>", StringComparison.Ordinal));
        }
    }

    [Fact]
    public void Ends_ThatFallTogether_AreMovedApartInTheirOrder()
    {
        double[] at = FrequencyPlot.Apart([100, 101, 99, 300, 301], 0, 305);

        Assert.True(at[2] < at[0] && at[0] < at[1] && at[3] < at[4] && at[4] <= 305);
        Assert.All(at.Order().Zip(at.Order().Skip(1)), pair => Assert.True(pair.Second - pair.First >= 16 - 1e-9));
    }

    [Fact]
    public void TradeOff_PointsOnOneSpot_ShareALabelAndNoneMeet()
    {
        Random64 random = new(4);
        TradeOffPoint[] points = [.. Enumerable.Range(1, 60).Select(rank => new TradeOffPoint(rank, Math.Round(random.NextDouble() * 4) / 4, Math.Round(random.NextDouble() * 30) / 30, rank % 5 == 0, rank % 7 != 0))];
        DrawnPicture drawn = new(TradeOffPlot.Svg("Trade-off", "cost", "price", points));

        Assert.Empty(drawn.Faults([]));
        Assert.Equal(60, drawn.Elements("circle").Count());
        string[] ranks = [.. drawn.Elements("text").Where(text => (string?)text.Attribute("class") == "key").SelectMany(text => text.Value.Split(", "))];
        Assert.Equal(Enumerable.Range(1, 60).Select(rank => rank.ToString(CultureInfo.InvariantCulture)).Order(), ranks.Order());
    }

    /// <summary>Advance widths of Helvetica from Adobe's font metrics (Helvetica.afm 002.000, from memory) are never wider than ours.</summary>
    [Theory]
    [InlineData('0', 0.556)]
    [InlineData('W', 0.944)]
    [InlineData('m', 0.833)]
    [InlineData('i', 0.222)]
    [InlineData(' ', 0.278)]
    [InlineData('@', 1.015)]
    public void TextWidth_OfLetters_IsNoLessThanHelvetica(char letter, double width) => Assert.True(TextWidth.Of(letter.ToString(), 1) >= width);
}
