using System.Globalization;
using System.Numerics;
using System.Text.RegularExpressions;
using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop.Paperwork;
using XoverOpt.Workshop.Tests.Inspection;

namespace XoverOpt.Workshop.Tests;

public class BuildSheetTests
{
    private static readonly BuildInJob Demo = DemoBuild.Whole();

    private static readonly UnitLimits Limits = new([20, 1000, 20_000], [100, 95, 80], [97, 92, 77], [103, 98, 83]);

    [Fact]
    public void Html_DemoBuild_BearsEveryPartWithItsDesignatorAndNothingFromOutside()
    {
        string page = BuildSheet.Html(Demo, Limits, "a test.", new("run-17", 4, 99));

        foreach (NumberedPart part in NumberedPart.Of(Demo.Build.Earpiece).Where(part => part.Section >= 0 || part.Kind == PartKind.Damper))
        {
            Assert.Contains(part.Text, page, StringComparison.Ordinal);
        }

        foreach (string words in new[] { "run-17", "build 4", ">99<", Demo.Job.Problem.JobHash[..16], "DC resistance", "Polarity", "Seal", "Curve", "injures hearing", "ear impression", "Cut list", "Wiring" })
        {
            Assert.Contains(words, page, StringComparison.Ordinal);
        }

        Assert.DoesNotMatch(new Regex("<script|<link|<img|<iframe|src=|href=|url\\(|@import|https?://(?!www\\.w3\\.org/2000/svg)", RegexOptions.IgnoreCase), page);
        Assert.DoesNotMatch(new Regex("<[^>]* style=", RegexOptions.IgnoreCase), page);
        Assert.Equal(3, Regex.Count(page, "<svg "));
    }

    [Fact]
    public void Html_NamesWithMarkup_ComeOutAsText()
    {
        const string Evil = "<img src=x onerror=alert(1)>\"'&";
        Earpiece earpiece = new([.. Demo.Build.Earpiece.Ways.Select(way => way with { Name = Evil + way.Name, Receiver = way.Receiver with { PartNumber = Evil } })]);
        BuildInJob build = new(Demo.Job with { Problem = Demo.Job.Problem with { Name = Evil } }, Demo.Build with { Earpiece = earpiece });

        string page = BuildSheet.Html(build, Limits, Evil, new(Evil));

        Assert.DoesNotContain("<img", page, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("&lt;img src=x onerror=alert(1)&gt;", page, StringComparison.Ordinal);
    }

    [Fact]
    public void Html_BuildOfAnotherJob_SaysSo()
    {
        BuildInJob other = Demo with { Build = Demo.Build with { JobHash = new string('0', 64) } };

        Assert.Contains("found for another job", BuildSheet.Html(other, Limits, "a test.", new()), StringComparison.Ordinal);
        Assert.DoesNotContain("found for another job", BuildSheet.Html(Demo with { Build = Demo.Build with { JobHash = Demo.Job.Problem.JobHash } }, Limits, "a test.", new()), StringComparison.Ordinal);
    }

    [Fact]
    public void Html_UnderACommaDecimalCulture_IsTheSame()
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            string invariant = BuildSheet.Html(Demo, Limits, "a test.", new());
            CultureInfo comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
            (comma.NumberFormat.NumberDecimalSeparator, comma.NumberFormat.NegativeSign) = (",", "~");
            CultureInfo.CurrentCulture = comma;
            Assert.Equal(invariant, BuildSheet.Html(Demo, Limits, "a test.", new()));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    /// <summary>Resistors by hand: 100 Ω in line, 200 Ω across, 2 × 40 Ω in series behind 20 Ω: 100 + (200 ∥ 100) = 166.6667 Ω.</summary>
    [Fact]
    public void DcResistance_LadderIntoReceivers_IsThatOfTheResistors()
    {
        Way way = Demo.Build.Earpiece.Ways[0] with
        {
            Count = 2,
            Wiring = Wiring.Series,
            Receiver = Demo.Build.Earpiece.Ways[0].Receiver with { PartNumber = "none such", DcResistance = 40 },
            Network = [new(SectionPlace.Series, 100), new(SectionPlace.Shunt, 200), new(SectionPlace.Shunt, Capacitance: 1e-6), new(SectionPlace.Series, 15, Inductance: 1e-3, CoilDcr: 5)],
        };

        Assert.Equal(100 + (1 / ((1.0 / 200) + (1.0 / 100))), DcResistance.OfWay(way, Demo.Job.Problem, Demo.Job.Inventory).Ohm, 9);
        Assert.Equal(2, DcResistance.OfWay(way with { Network = [new(SectionPlace.Shunt, 2.0)] }, Demo.Job.Problem, Demo.Job.Inventory).Ohm, 0.06);
        Way blocked = way with { Network = [new(SectionPlace.Series, Capacitance: 1e-6)] };
        Assert.Contains("open", DcResistance.OfWay(blocked, Demo.Job.Problem, Demo.Job.Inventory).ToString(), StringComparison.Ordinal);
        Assert.Equal(166.6667, DcResistance.AtSocket(new([blocked, way]), Demo.Job.Problem, Demo.Job.Inventory).Ohm, 4);
        Assert.Equal(83.3333, DcResistance.AtSocket(new([way, way]), Demo.Job.Problem, Demo.Job.Inventory).Ohm, 4);
    }

    /// <summary>A receiver of sd 5 % in parallel with nothing: 40 Ω ± 2.576 · 5 %, JCGM 100:2008 table G.1 (k = 2.576 for 99 %).</summary>
    [Fact]
    public void DcResistance_Range_IsThatOfTheStatedSpreadAndTolerances()
    {
        StockReceiver stated = Demo.Job.Inventory.Receivers.First(receiver => receiver.Spread is not null);
        StockValue resistor = Demo.Job.Problem.Passives.Resistors.First(part => part.TolerancePercent > 0);
        Way way = Demo.Build.Earpiece.Ways[0] with { Count = 1, Receiver = stated.Receiver, Network = [new(SectionPlace.Series, resistor.Value)] };
        double share = 2.576 * stated.Spread!.DcResistancePercent / 100, tolerance = resistor.TolerancePercent!.Value / 100;

        DcResistance dc = DcResistance.OfWay(way, Demo.Job.Problem, Demo.Job.Inventory);

        Assert.Equal(resistor.Value + stated.Receiver.DcResistance, dc.Ohm, 9);
        Assert.Equal((resistor.Value * (1 + tolerance)) + (stated.Receiver.DcResistance * (1 + share)), dc.HighOhm, 9);
        Assert.Equal((resistor.Value * (1 - tolerance)) + (stated.Receiver.DcResistance * (1 - share)), dc.LowOhm, 9);
    }

    /// <summary>The low-frequency end of the whole model's socket impedance, capacitors made to block: independent of the ladder code here.</summary>
    [Fact]
    public void DcResistance_RandomLegalBuilds_IsTheImpedanceAtVeryLowFrequencyWithoutTheMotor()
    {
        int checkedBuilds = 0;
        foreach (JobDocument job in LegalBuilds.DemoJobs())
        {
            foreach (Earpiece earpiece in new LegalBuilds(job.Problem, 9).Take(20))
            {
                // Motors that give no back-EMF, so that the coil's wire is left; far below every corner of 100 µF.
                Earpiece still = new([.. earpiece.Ways.Select(way => way with { Receiver = way.Receiver with { ForceFactor = 1e-9 } })]);
                double dc = DcResistance.AtSocket(still, job.Problem, job.Inventory).Ohm;
                Complex z = PlainResponse.At(still, job.Problem.Ear, new(1, 0), 1e-6).SocketImpedance;
                if (double.IsFinite(dc))
                {
                    Assert.InRange(z.Real / dc, 0.999, 1.001);
                    checkedBuilds++;
                }
                else
                {
                    Assert.True(z.Magnitude > 1e6);
                }
            }
        }

        Assert.True(checkedBuilds > 20);
    }

    [Fact]
    public void Checks_DemoBuild_ShowWhatATurnedWayAndALeakDo()
    {
        BenchChecks checks = BenchChecks.Of(Demo);
        Earpiece earpiece = Demo.Build.Earpiece;
        double Level(Earpiece drawn, double hz) => 20 * Math.Log10(PlainResponse.At(drawn, Demo.Job.Problem.Ear, Demo.Job.Problem.Source, 2 * Math.PI * hz).DrumPressure.Magnitude / 20e-6);

        Assert.Equal(earpiece.Ways.Select(way => way.Name), checks.Turned.Select(turn => turn.Way));
        for (int at = 0; at < earpiece.Ways.Count; at++)
        {
            TurnedWay turn = checks.Turned[at];
            Earpiece wrong = new([.. earpiece.Ways.Select((way, i) => i == at ? way with { Polarity = way.Sign > 0 ? Polarity.Inverted : Polarity.Normal } : way)]);
            Assert.Equal(Level(earpiece, turn.Hz), turn.RightDb, 6);
            Assert.Equal(Level(wrong, turn.Hz), turn.WrongDb, 6);
            Assert.True(Math.Abs(turn.RightDb - turn.WrongDb) >= Math.Abs(Level(earpiece, turn.Hz * 1.2) - Level(wrong, turn.Hz * 1.2)));
        }

        Assert.Equal(Level(earpiece, 50) - Level(earpiece, 500), checks.BassDb, 6);
        Assert.True(checks.LeakBassDb < checks.BassDb);
    }
}
