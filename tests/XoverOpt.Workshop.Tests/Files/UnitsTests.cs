using System.Globalization;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests;

public class UnitsTests
{
    /// <summary>Every tube length on a 0.1 mm step up to 100 mm: what a file says is the nearest double in SI, and comes back.</summary>
    [Fact]
    public void FromMm_EveryTenth_IsTheNearestDoubleAndComesBack()
    {
        for (int k = 0; k <= 1000; k++)
        {
            double written = Parse($"{k / 10}.{k % 10}");

            Assert.Equal(Parse($"{k}E-4"), Units.FromMm(written));
            Assert.Equal(written, Units.ToMm(Units.FromMm(written)));
        }
    }

    [Fact]
    public void Conversions_PreferredValues_AreTheNearestDoubleAndComeBack()
    {
        foreach (int mantissa in PreferredValues.Decade("E192"))
        {
            for (int exponent = -6; exponent <= 4; exponent++)
            {
                double written = Parse($"{mantissa}E{exponent}");

                Assert.Equal(Parse($"{mantissa}E{exponent - 6}"), Units.FromMicrofarad(written));
                Assert.Equal(written, Units.ToMicrofarad(Units.FromMicrofarad(written)));
                Assert.Equal(written, Units.ToMillihenry(Units.FromMillihenry(written)));
                Assert.Equal(Parse($"{mantissa}E{exponent + 5}"), Units.FromOhmCgs(written));
                Assert.Equal(written, Units.ToOhmCgs(Units.FromOhmCgs(written)));
                Assert.Equal(written, Units.ToMillivolt(Units.FromMillivolt(written)));
                Assert.Equal(written, Units.ToUs(Units.FromUs(written)));
                Assert.Equal(written, Units.ToMm3(Units.FromMm3(written)));
            }
        }
    }

    /// <summary>A length the search cuts is the very double that its millimetres read as.</summary>
    [Theory]
    [InlineData("0.5")]
    [InlineData("0.1")]
    [InlineData("0.25")]
    [InlineData("0.3")]
    public void CutLength_EveryStep_IsWhatItsMillimetresReadAs(string stepMm)
    {
        double step = Units.FromMm(Parse(stepMm));
        for (int k = 0; k <= 300; k++)
        {
            double length = Problem.CutLength(k, step);

            Assert.Equal(length, Units.FromMm(Units.ToMm(length)));
            Assert.Equal((double)(k * decimal.Parse(stepMm, CultureInfo.InvariantCulture)), Units.ToMm(length));
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1e-300)]
    [InlineData(-1.5e30)]
    [InlineData(double.NaN)]
    public void Shift_OddNumbers_ComeBack(double value) => Assert.Equal(value, Units.ToMm(Units.FromMm(value)));

    private static double Parse(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private static double Parse(FormattableString text) => Parse(FormattableString.Invariant(text));
}
