using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>ln|z| and arg z of complex arrays, vectorised.</summary>
public static class PolarForm
{
    /// <summary>Fills ln|z| and arg z (principal value, radians). Lengths equal, multiples of <see cref="FrequencyGrid.Lanes"/>.</summary>
    public static void Of(ReadOnlySpan<double> re, ReadOnlySpan<double> im, Span<double> logMagnitude, Span<double> phase)
    {
        for (int k = 0; k < re.Length; k += FrequencyGrid.Lanes)
        {
            Vector256<double> x = Vector256.Create(re.Slice(k, 4)), y = Vector256.Create(im.Slice(k, 4));
            Vector256<double> power = Vector256.FusedMultiplyAdd(x, x, y * y);
            (Elementary.Log(power) * Vector256.Create(0.5)).CopyTo(logMagnitude.Slice(k, 4));
            Atan2(y, x).CopyTo(phase.Slice(k, 4));
        }
    }

    /// <summary>
    /// Arc tangent of y/x in the right quadrant. The rational approximation of arctan on [0, tan(π/8)…0.66] is that of the Cephes
    /// library (S. L. Moshier, Methods and Programs for Mathematical Functions, 1989); the ratio is reduced to [0, 1] first.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal static Vector256<double> Atan2(Vector256<double> y, Vector256<double> x)
    {
        Vector256<double> one = Vector256<double>.One, zero = Vector256<double>.Zero;
        Vector256<double> absX = Vector256.Abs(x), absY = Vector256.Abs(y);
        Vector256<double> larger = Vector256.Max(absX, absY), smaller = Vector256.Min(absX, absY);
        Vector256<double> ratio = Vector256.ConditionalSelect(Vector256.Equals(larger, zero), zero, smaller / larger);

        Vector256<double> wide = Vector256.GreaterThan(ratio, Vector256.Create(0.66));
        Vector256<double> t = Vector256.ConditionalSelect(wide, (ratio - one) / (ratio + one), ratio);
        Vector256<double> s = t * t;
        Vector256<double> p = Vector256.Create(-8.750608600031904122785e-1);
        p = Vector256.FusedMultiplyAdd(p, s, Vector256.Create(-1.615753718733365076637e1));
        p = Vector256.FusedMultiplyAdd(p, s, Vector256.Create(-7.500855792314704667340e1));
        p = Vector256.FusedMultiplyAdd(p, s, Vector256.Create(-1.228866684490136173410e2));
        p = Vector256.FusedMultiplyAdd(p, s, Vector256.Create(-6.485021904942025371773e1));
        Vector256<double> q = s + Vector256.Create(2.485846490142306297962e1);
        q = Vector256.FusedMultiplyAdd(q, s, Vector256.Create(1.650270098316988542046e2));
        q = Vector256.FusedMultiplyAdd(q, s, Vector256.Create(4.328810604912902668951e2));
        q = Vector256.FusedMultiplyAdd(q, s, Vector256.Create(4.853903996359136964868e2));
        q = Vector256.FusedMultiplyAdd(q, s, Vector256.Create(1.945506571482613964425e2));
        Vector256<double> angle = Vector256.FusedMultiplyAdd(t * s, p / q, t);
        angle += Vector256.ConditionalSelect(wide, Vector256.Create(Math.PI / 4), zero);

        angle = Vector256.ConditionalSelect(Vector256.GreaterThan(absY, absX), Vector256.Create(Math.PI / 2) - angle, angle);
        angle = Vector256.ConditionalSelect(Vector256.LessThan(x, zero), Vector256.Create(Math.PI) - angle, angle);
        return Vector256.ConditionalSelect(Vector256.LessThan(y, zero), -angle, angle);
    }
}
