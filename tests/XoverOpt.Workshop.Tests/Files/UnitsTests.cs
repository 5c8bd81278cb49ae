using System.Globalization;

namespace XoverOpt.Workshop.Tests;

public class UnitsTests
{
    /// <summary>Every tube length on a 0.1 mm step up to 60 mm, every E24 value: what a file says comes back as it stood.</summary>
    [Fact]
    public void Back_ValuesAsFilesBearThem_AreTheSame()
    {
        for (int k = 0; k <= 600; k++)
        {
            double written = double.Parse($"{k / 10}.{k % 10}", CultureInfo.InvariantCulture);

            Assert.Equal(written, Units.ToMm(Units.FromMm(written)));
            Assert.Equal(written, Units.ToMicrofarad(Units.FromMicrofarad(written)));
            Assert.Equal(written, Units.ToMillihenry(Units.FromMillihenry(written)));
            Assert.Equal(written, Units.ToOhmCgs(Units.FromOhmCgs(written)));
        }
    }

    [Fact]
    public void FromMm_DecimalFractions_AreTheNearestDouble()
    {
        Assert.Equal(0.0105, Units.FromMm(10.5));
        Assert.Equal(0.0013, Units.FromMm(1.3));
        Assert.Equal(4.7e-8, Units.FromMicrofarad(0.047));
        Assert.Equal(6e-3, Units.FromMillihenry(6));
        Assert.Equal(1.5e8, Units.FromOhmCgs(1500));
    }
}
