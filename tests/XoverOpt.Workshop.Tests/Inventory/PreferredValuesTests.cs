using System.Globalization;

namespace XoverOpt.Workshop.Tests;

public class PreferredValuesTests
{
    /// <summary>Source: IEC 60063, by way of tests/data/e-series (see its SOURCE.md).</summary>
    [Fact]
    public void Decade_EverySeries_IsThatOfIec60063()
    {
        string[][] rows = [.. File.ReadLines(Path.Combine(SchemaCheck.Root()!.FullName, "tests/data/e-series/e_series.csv")).Skip(1).Select(line => line.Split(','))];

        Assert.Equal(PreferredValues.Series, rows.Select(row => row[0]));
        foreach (string[] row in rows)
        {
            int[] printed = [.. row[2].Split(' ').Select(value => int.Parse(value, CultureInfo.InvariantCulture))];
            Assert.Equal(int.Parse(row[1], CultureInfo.InvariantCulture), printed.Length);
            Assert.Equal(printed, PreferredValues.Decade(row[0]));
        }
    }

    /// <summary>Source: IEC 60063; the rule alone would give 919.</summary>
    [Fact]
    public void Decade_E192_Has920()
    {
        Assert.Contains(920, PreferredValues.Decade("E192"));
        Assert.DoesNotContain(919, PreferredValues.Decade("E192"));
    }

    [Fact]
    public void Within_BothEnds_AreIncludedAsTheDoublesOfTheirDecimals() =>
        Assert.Equal([0.047, 0.1, 0.22, 0.47, 1, 2.2], PreferredValues.Within("E3", 0.047, 2.2));

    [Fact]
    public void Within_E96_HasThreeDigits() => Assert.Equal([976, 1000, 1020], PreferredValues.Within("E96", 970, 1030));

    [Fact]
    public void Decade_UnknownSeries_Throws() => Assert.Throws<ArgumentOutOfRangeException>(() => PreferredValues.Decade("E25"));
}
