using System.Runtime.Intrinsics;
using XoverOpt.Acoustics.Kernel.Four;

namespace XoverOpt.Acoustics.Tests;

/// <summary>The lanes' own exp, ln, sin and cos against the C library's.</summary>
public class ElementaryTests
{
    [Fact]
    public void Exp_OverItsRange_IsThatOfTheLibrary() => Check(
        -690, 690, x => Elementary.Exp(Vector256.Create(x))[0], Math.Exp, (expected, _) => 1e-15 * expected);

    [Fact]
    public void Log_FromTinyToHuge_IsThatOfTheLibrary() => Check(
        -690, 690, x => Elementary.Log(Vector256.Create(Math.Exp(x)))[0], x => Math.Log(Math.Exp(x)), (expected, _) => 5e-16 * Math.Abs(expected));

    [Fact]
    public void Log_NearOne_LosesNothing() => Check(
        -0.5, 0.5, x => Elementary.Log(Vector256.Create(1 + (x * x * x)))[0], x => Math.Log(1 + (x * x * x)), (expected, _) => (5e-16 * Math.Abs(expected)) + 1e-300);

    [Fact]
    public void Log_OfZeroAndOfWhatIsNotFinite_IsMinusInfinityAndNotANumber()
    {
        Vector256<double> log = Elementary.Log(Vector256.Create(0, double.PositiveInfinity, double.NaN, 1));
        Assert.Equal([double.NegativeInfinity, double.NaN, double.NaN, 0], [log[0], log[1], log[2], log[3]]);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(100)]
    [InlineData(1e4)]
    public void SinCos_OverManyTurns_AreThoseOfTheLibrary(double reach)
    {
        Check(-reach, reach, x => Elementary.SinCos(Vector256.Create(x)).Sin[0], Math.Sin, (_, _) => 3e-16);
        Check(-reach, reach, x => Elementary.SinCos(Vector256.Create(x)).Cos[0], Math.Cos, (_, _) => 3e-16);
    }

    [Fact]
    public void SinhCosh_SmallAndLarge_AreThoseOfTheLibrary()
    {
        Check(-0.5, 0.5, x => Elementary.SinhCoshSmall(Vector256.Create(x)).Sinh[0], Math.Sinh, (expected, _) => 4e-16 * Math.Abs(expected));
        Check(-0.5, 0.5, x => Elementary.SinhCoshSmall(Vector256.Create(x)).Cosh[0], Math.Cosh, (expected, _) => 4e-16 * expected);
        Check(-30, 30, x => Elementary.SinhCosh(Vector256.Create(x)).Sinh[0], Math.Sinh, (_, x) => 2e-15 * Math.Cosh(x));
        Check(-30, 30, x => Elementary.SinhCosh(Vector256.Create(x)).Cosh[0], Math.Cosh, (expected, _) => 2e-15 * expected);
    }

    private static void Check(double from, double to, Func<double, double> found, Func<double, double> library, Func<double, double, double> allowed)
    {
        for (int i = 0; i <= 20_000; i++)
        {
            double x = from + ((to - from) * i / 20_000), expected = library(x), value = found(x);
            Assert.True(Math.Abs(value - expected) <= allowed(expected, x), $"at {x:R}: {value:R}, the library says {expected:R}");
        }
    }
}
