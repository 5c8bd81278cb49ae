using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using XoverOpt.Acoustics;
using XoverOpt.Search;
using static XoverOpt.Workshop.Tests.BuildFileFixture;

namespace XoverOpt.Workshop.Tests;

public class BuildFileTests
{
    [Fact]
    public void Build_WrittenAndReadBack_IsTheSameEarpieceBitForBit()
    {
        Reading<BuildDocument> reading = Read(Text());

        Assert.Empty(reading.Faults);
        AssertSame(Sample, reading.Value!.Earpiece);
    }

    [Fact]
    public void Build_WrittenAndReadBack_KeepsWhatIsSaidOfIt()
    {
        Advice[] advice = [.. Enum.GetValues<AdviceKind>().Select(what => new Advice(what, what == AdviceKind.Receivers ? null : 6.25, $"½ of {what}"))];
        RankedBuild broken = Build with { Advice = advice, Rank = 3, Feasible = false, Violation = 0.25, BrokenLimits = ["impedance 5 Ω, at least 8 Ω"] };

        BuildDocument document = Read(Text(broken)).Value!;

        Assert.Equal(3, document.Rank);
        Assert.Equal(TwoWay.Name, document.Job);
        Assert.Equal(TwoWay.JobHash, document.JobHash);
        Assert.Equal(TwoWay.InventoryHash, document.InventoryHash);
        Assert.Equal("0.1.0-test", document.ProgramVersion);
        Assert.Equal(broken.Key, document.Key);
        Assert.False(document.Feasible);
        Assert.Equal(0.25, document.Violation);
        Assert.Equal(broken.BrokenLimits, document.BrokenLimits);
        Assert.Equal(0.75, document.RelaxedCost);
        Assert.Equal(100 * 0.05 / 0.75, document.SnappingLossPercent!.Value, 1e-9);
        Assert.Equal(advice, document.Advice);
        Assert.Equal(broken.Cost, document.Cost);
        Assert.Equal(0.62, document.Figures["magnitudeRmsDb"]);
        Assert.Equal(71.3, document.Figures["partsCost"]);
        Assert.Equal(312.5, document.Figures["bodyVolumeMm3"]);
    }

    [Fact]
    public void Response_WrittenAndReadBack_IsTheSameBitForBit()
    {
        EarpieceResponse back = Read(Text()).Value!.Response!;

        Assert.Equal(Response.Hz, back.Hz);
        Assert.Equal(Response.Ways.Select(way => way.Name), back.Ways.Select(way => way.Name));
        var wanted = Response.Pressure.Concat(Response.Impedance).Concat(Response.Ways.SelectMany(way => way.Pressure));
        var found = back.Pressure.Concat(back.Impedance).Concat(back.Ways.SelectMany(way => way.Pressure));
        Assert.All(wanted.Zip(found), pair =>
        {
            Assert.True(Same(pair.First.Real, pair.Second.Real), $"{pair}");
            Assert.True(Same(pair.First.Imaginary, pair.Second.Imaginary), $"{pair}");
        });
    }

    [Fact]
    public void Write_Always_BearsTheContractsNames()
    {
        JsonElement build = JsonDocument.Parse(Text()).RootElement;
        JsonElement way = build.GetProperty("ways")[0];

        Assert.Equal("build/1", build.GetProperty("format").GetString());
        Assert.Equal(["total", "magnitude", "phase", "arrival", "summing", "penalty"], build.GetProperty("cost").EnumerateObject().Select(p => p.Name));
        Assert.Subset(
            build.GetProperty("figures").EnumerateObject().Select(p => p.Name).ToHashSet(),
            new HashSet<string>
            {
                "magnitudeRmsDb", "magnitudeMaxDb", "phaseRmsDeg", "phaseMaxDeg", "arrivalSpreadUs", "summingLossDb", "splAt100mV",
                "impedanceMinOhm", "partsCost",
            });
        Assert.Equal("""{"place":"series","kind":"resistor","ohm":43,"resistorPartNumber":"OS-R43"}""", way.GetProperty("network")[0].GetRawText());
        Assert.Equal(
            """{"place":"shunt","kind":"resistor-capacitor","ohm":5.6,"microfarad":2.2,"esrOhm":0.2,"capacitorPartNumber":"OS-C22"}""",
            way.GetProperty("network")[1].GetRawText());
        Assert.Equal(
            """{"place":"series","kind":"resistor-coil","ohm":10,"millihenry":0.33,"dcrOhm":1.5,"coilPartNumber":"OS-K03"}""",
            way.GetProperty("network")[2].GetRawText());
        Assert.Equal(1500, way.GetProperty("damperOhmCgs").GetDouble());
        Assert.Equal("OS-D15", way.GetProperty("damperPartNumber").GetString());
        Assert.Equal("""{"lengthMm":21.5,"boreMm":1.3,"partNumber":"OS-T13"}""", way.GetProperty("tube")[0].GetRawText());
        Assert.Equal("""{"lengthMm":4,"boreMm":2}""", way.GetProperty("tube")[1].GetRawText());
        Assert.Equal("capacitor-coil", build.GetProperty("ways")[1].GetProperty("network")[0].GetProperty("kind").GetString());
        Assert.Contains("injures hearing", build.GetProperty("caution").GetString(), StringComparison.Ordinal);
        Assert.Contains("ear impression", build.GetProperty("caution").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Write_EveryFigureOfTheRecord_IsInTheFile()
    {
        JsonElement figures = JsonDocument.Parse(Text()).RootElement.GetProperty("figures");

        IEnumerable<string> names = typeof(BuildFigures).GetProperties().Select(p => JsonNamingPolicy.CamelCase.ConvertName(p.Name));

        Assert.Equal(names.Order(StringComparer.Ordinal), figures.EnumerateObject().Select(p => p.Name).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Write_WhatCouldNotBeComputed_IsNull()
    {
        RankedBuild build = Build with
        {
            RelaxedCost = double.NaN,
            Figures = Figures with { PartsCost = null, UnpricedParts = 2, BodyVolumeMm3 = null, ImpedanceMinOhm = double.PositiveInfinity },
        };

        BuildDocument document = Read(Text(build)).Value!;

        Assert.Null(document.RelaxedCost);
        Assert.Null(document.SnappingLossPercent);
        Assert.Empty(document.Advice);
        Assert.Null(document.Figures["partsCost"]);
        Assert.Null(document.Figures["bodyVolumeMm3"]);
        Assert.Null(document.Figures["impedanceMinOhm"]);
        Assert.Equal(2, document.Figures["unpricedParts"]);
    }

    [Fact]
    public void WriteAndRead_UnderACommaDecimalCulture_AreTheSame()
    {
        string invariant = Text(), outOfRange = invariant.Replace("\"boreMm\":1.3", "\"boreMm\":0.1", StringComparison.Ordinal);
        IReadOnlyList<Fault> faults = Read(outOfRange).Faults;
        Assert.Contains("0.2 mm", Assert.Single(faults).Message, StringComparison.Ordinal);
        CultureInfo before = CultureInfo.CurrentCulture;

        // Built by hand: the build leaves culture data out, so a culture by name may not differ from the invariant one.
        var comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        comma.NumberFormat.NumberDecimalSeparator = ",";
        comma.NumberFormat.NumberGroupSeparator = ".";
        comma.NumberFormat.NegativeSign = "−";
        try
        {
            CultureInfo.CurrentCulture = comma;
            Assert.Equal("0,5", 0.5.ToString(CultureInfo.CurrentCulture));

            Assert.Equal(invariant, Text());
            AssertSame(Sample, Read(invariant).Value!.Earpiece);
            Assert.Equal(faults, Read(outOfRange).Faults);
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void Write_Text_IsIndentedWithRowsOnOneLine()
    {
        string text = Text();

        Assert.StartsWith("{\n  \"format\": \"build/1\",\n", text, StringComparison.Ordinal);
        Assert.EndsWith("}\n", text, StringComparison.Ordinal);
        Assert.Contains("\n    \"hz\": [20, 333.3333333333333, 16000],\n", text, StringComparison.Ordinal);
        Assert.DoesNotContain('\r', text);
        Assert.Equal(JsonNode.Parse(text)!["job"]!.GetValue<string>(), TwoWay.Name);
    }

    internal static void AssertSame(Earpiece wanted, Earpiece found)
    {
        Assert.Equal(wanted.Ways.Count, found.Ways.Count);
        foreach ((Way a, Way b) in wanted.Ways.Zip(found.Ways))
        {
            Assert.Equal((a.Name, a.Receiver, a.Count, a.Wiring, a.Polarity), (b.Name, b.Receiver, b.Count, b.Wiring, b.Polarity));
            Assert.True(Same(a.DamperResistance, b.DamperResistance));

            // Records compare their doubles by value, and no 0 here has a sign.
            Assert.Equal(a.Network, b.Network);
            Assert.Equal(a.Tube, b.Tube);
        }
    }
}
