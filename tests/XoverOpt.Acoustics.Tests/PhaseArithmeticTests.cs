using System.Numerics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Acoustics.Tests;

/// <summary>Angles, delays and levels of ways that add, by plane trigonometry.</summary>
public class PhaseArithmeticTests
{
    // Two equal arrows φ apart add to cos(φ/2) of what they would in step: 20 log₁₀ cos(φ/2).
    [Theory]
    [InlineData(36, -0.43587)]
    [InlineData(60, -1.24939)]
    [InlineData(90, -3.01030)]
    [InlineData(120, -6.02060)]
    [InlineData(150, -11.74008)]
    public void SummingLoss_TwoEqualWaysApart_IsTheTextbookLevel(double degrees, double level)
    {
        Complex one = 0.5, other = Complex.FromPolarCoordinates(0.5, degrees * Math.PI / 180);
        double[] loss = new double[4], fractions = new double[8], shares = [.. Enumerable.Repeat(0.5, 8)];

        double worst = SummingLoss.Of(shares, [.. Enumerable.Repeat(Math.Log(Complex.Abs(one + other)), 4)], 2, 4, 0, 1, loss, fractions);

        Assert.Equal(-level, worst, 1e-4);
        Assert.Equal(0.5, fractions[0], 1e-12);
    }

    // 10 µs at 10 kHz is a tenth of a turn; 10 mm at the speed of IEC 61094-2 Table F.1.
    [Fact]
    public void DelayAndPath_TenMicrosecondsAndTenMillimetres_AreTheStatedAngleAndTime()
    {
        Assert.Equal(28.9129e-6, 10e-3 / Air.At().SoundSpeed, 1e-10);

        // As wide and as short as to have no walls to speak of: the chain's phase is the path's.
        Air air = Air.At();
        TwoPort path = SoundTube.Matrix(2 * Math.PI * 10e3, 10e-6 * air.SoundSpeed, 200, air);
        Complex across = path.A + (path.C * SoundTube.Line(2 * Math.PI * 10e3, 200, air).Zc);
        Assert.Equal(36, Agreement.Degrees(across), 1e-4);
    }
}
