using System.Globalization;
using System.Numerics;

namespace XoverOpt.Acoustics.Tests;

/// <summary>Assertions on numbers that say what was compared and by how much it differs.</summary>
internal static class Agreement
{
    /// <summary>|actual − expected| ≤ tolerance·|expected|, as complex numbers.</summary>
    public static void Relative(Complex expected, Complex actual, double tolerance, string what = "value")
    {
        double error = Complex.Abs(actual - expected) / Complex.Abs(expected);
        Assert.True(error <= tolerance, Message(what, expected, actual, error, tolerance, "relative"));
    }

    /// <summary>|actual − expected| ≤ tolerance.</summary>
    public static void Absolute(Complex expected, Complex actual, double tolerance, string what = "value")
    {
        double error = Complex.Abs(actual - expected);
        Assert.True(error <= tolerance, Message(what, expected, actual, error, tolerance, "absolute"));
    }

    public static double Decibel(Complex value) => 20 * Math.Log10(Complex.Abs(value));

    public static double Degrees(Complex value) => value.Phase * 180 / Math.PI;

    /// <summary>The angle from one direction to another, degrees, in (−180, 180].</summary>
    public static double AngleBetween(double fromDegrees, double toDegrees) => Math.IEEERemainder(toDegrees - fromDegrees, 360);

    private static string Message(string what, Complex expected, Complex actual, double error, double tolerance, string kind) => string.Create(
        CultureInfo.InvariantCulture, $"{what}: expected {expected:G12}, got {actual:G12}: {kind} difference {error:G3}, allowed {tolerance:G3}.");
}
