using System.Globalization;
using System.Text.Json;
using XoverOpt.Search;
using XoverOpt.Workshop.Running;
using static XoverOpt.Workshop.Tests.BuildFileFixture;

namespace XoverOpt.Workshop.Tests;

public class LimitsFileTests
{
    private static readonly SpreadResult _spread = SpreadRun.Of(TwoWay, [Build.Earpiece], new() { Samples = 200 }, 2)[0];

    [Fact]
    public void Write_Limits_SaysWhatTheyHoldForAndGivesARowAFrequency()
    {
        string text = LimitsFile.Write(TestLimits.Of(_spread), TwoWay);
        string[] lines = text.Split('\n', StringSplitOptions.RemoveEmptyEntries), header = [.. lines.Where(line => line[0] == '#')], rows = lines[(header.Length + 1)..];
        Assert.Equal("hz,expectedDb,lowDb,highDb,expectedOhm,lowOhm,highOhm", lines[header.Length]);
        Assert.Equal(_spread.Points.Count, rows.Length);
        foreach (string fact in new[] { TwoWay.Name, TwoWay.JobHash, "200 with seed 1", "0.5 dB", "mV RMS", "injures hearing", "99 %", "at all frequencies at once" })
        {
            Assert.Contains(header, line => line.Contains(fact, StringComparison.Ordinal));
        }

        double[][] numbers = [.. rows.Select(row => row.Split(',').Select(cell => double.Parse(cell, CultureInfo.InvariantCulture)).ToArray())];
        Assert.All(numbers, row => Assert.True(row.Length == 7 && row[2] < row[1] && row[1] < row[3] && row[5] <= row[4] && row[4] <= row[6]));
        Assert.Equal(numbers.Select(row => row[0]).Order(), numbers.Select(row => row[0]));
    }

    // A spreadsheet takes a cell that starts with one of =, +, - or @ for a formula (OWASP, CSV injection).
    [Fact]
    public void Write_NamesThatLookLikeFormulas_StayInOneCellOfText()
    {
        Problem sly = TwoWay with { Name = "=HYPERLINK(\"x\"),=1+1;@a\t-2\r\n+3" };
        string text = LimitsFile.Write(TestLimits.Of(_spread), sly);
        Assert.All(text.Split('\n').Where(line => line.Contains("HYPERLINK", StringComparison.Ordinal)), line =>
        {
            Assert.StartsWith("# ", line, StringComparison.Ordinal);
            Assert.DoesNotContain(line, letter => letter is ',' or ';' or '\t' or '"' or '\r');
        });
        Assert.DoesNotContain(text.Split('\n'), line => line.Length > 0 && line[0] is '=' or '+' or '-' or '@');
    }

    [Fact]
    public void Write_UnderACommaCulture_GivesTheSameText()
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        string text = LimitsFile.Write(TestLimits.Of(_spread), TwoWay), json = SpreadFile.Write([_spread], ["a"], TwoWay);
        try
        {
            var comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
            comma.NumberFormat.NumberDecimalSeparator = ",";
            CultureInfo.CurrentCulture = comma;
            Assert.Equal(text, LimitsFile.Write(TestLimits.Of(_spread), TwoWay));
            Assert.Equal(json, SpreadFile.Write([_spread], ["a"], TwoWay));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void SpreadFile_OfTwoBuilds_GivesEachFigureWithItsError()
    {
        JsonElement root = JsonDocument.Parse(SpreadFile.Write([_spread, _spread], ["a", "b"], TwoWay)).RootElement, builds = root.GetProperty("builds");
        Assert.Equal("", SchemaCheck.Objections(root));
        Assert.Equal("spread/1", root.GetProperty("format").GetString());
        Assert.Equal(2, builds.GetArrayLength());
        Assert.Equal(_spread.Yield.Value, builds[0].GetProperty("yield")[0].GetDouble(), 1e-5);
        Assert.Equal(_spread.Yield.StandardError, builds[0].GetProperty("yield")[1].GetDouble(), 1e-5);
        Assert.Equal(0, builds[1].GetProperty("yieldOverFirst")[0].GetDouble());
        Assert.Equal(_spread.Points.Count, builds[0].GetProperty("points").GetArrayLength());
    }
}
