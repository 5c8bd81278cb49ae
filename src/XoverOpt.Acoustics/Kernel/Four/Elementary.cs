using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Bits = System.Runtime.Intrinsics.Vector256<long>;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>
/// exp, ln, sin and cos on lanes with every fused operation spelt out. Those of the runtime leave it to the compiler whether a product
/// and a sum are rounded once or twice, so their last bit differs between a method's first, quickly compiled form and its later one, and
/// a search would not repeat itself. Coefficients: exp, sin and cos of the Cephes library (S. L. Moshier, Methods and Programs for
/// Mathematical Functions, 1989), ln of fdlibm (Sun Microsystems, 1993). Good to about 1e-15.
/// </summary>
internal static class Elementary
{
    /// <summary>1.5·2⁵²: added and taken away again it rounds to whole numbers, which then stand in the low bits.</summary>
    private const double Round = 6755399441055744.0;

    /// <summary>eˣ for |x| &lt; 700.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes Exp(Lanes x)
    {
        Lanes shifted = Wide.FusedMultiplyAdd(x, Wide.Create(1.4426950408889634074), Wide.Create(Round));
        Lanes n = shifted - Wide.Create(Round);
        Lanes r = Wide.FusedMultiplyAdd(n, Wide.Create(-6.93145751953125e-1), x);
        r = Wide.FusedMultiplyAdd(n, Wide.Create(-1.42860682030941723212e-6), r);
        Lanes z = r * r;
        Lanes p = Wide.FusedMultiplyAdd(Wide.Create(1.26177193074810590878e-4), z, Wide.Create(3.02994407707441961300e-2));
        p = r * Wide.FusedMultiplyAdd(p, z, Wide.Create(9.99999999999999999910e-1));
        Lanes q = Wide.FusedMultiplyAdd(Wide.Create(3.00198505138664455042e-6), z, Wide.Create(2.52448340349684104192e-3));
        q = Wide.FusedMultiplyAdd(q, z, Wide.Create(2.27265548208155028766e-1));
        q = Wide.FusedMultiplyAdd(q, z, Wide.Create(2.00000000000000000009));
        Lanes e = p / (q - p);
        Lanes power = ((shifted.AsInt64() << 52) + Lanes.One.AsInt64()).AsDouble();
        return (Lanes.One + e + e) * power;
    }

    /// <summary>ln x for x > 0 and not subnormal; −∞ for 0, not a number for what is not finite.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes Log(Lanes x)
    {
        (Lanes k, Lanes f) = Reduce(x);
        return Log(x, k, f, f / (f + Wide.Create(2.0)));
    }

    /// <summary>ln x and, from the same division, 1/<paramref name="other"/>, which may be two last digits off and must not be subnormal.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Lanes Log, Lanes Inverse) LogAndInverse(Lanes x, Lanes other)
    {
        (Lanes k, Lanes f) = Reduce(x);
        Lanes below = f + Wide.Create(2.0), both = Lanes.One / (below * other);
        return (Log(x, k, f, f * (other * both)), below * both);
    }

    /// <summary>x = 2^k (1 + f) with 1 + f from √½ to √2; k is kept positive while it is shifted.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (Lanes K, Lanes F) Reduce(Lanes x)
    {
        var bias = Wide.Create(0x400L << 52);
        Bits root = Wide.Create(0.70710678118654752440).AsInt64(), bits = x.AsInt64();
        Bits exponent = ((bits - root + bias) >>> 52) - Wide.Create(0x400L);
        Lanes k = (exponent + Wide.Create(Round).AsInt64()).AsDouble() - Wide.Create(Round);
        return (k, (bits - (exponent << 52)).AsDouble() - Lanes.One);
    }

    /// <summary>ln x from its parts and s = f/(f + 2).</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Lanes Log(Lanes x, Lanes k, Lanes f, Lanes s)
    {
        Lanes z = s * s, w = z * z;
        Lanes even = Wide.FusedMultiplyAdd(Wide.Create(1.531383769920937332e-1), w, Wide.Create(2.222219843214978396e-1));
        even = w * Wide.FusedMultiplyAdd(even, w, Wide.Create(3.999999999940941908e-1));
        Lanes odd = Wide.FusedMultiplyAdd(Wide.Create(1.479819860511658591e-1), w, Wide.Create(1.818357216161805012e-1));
        odd = Wide.FusedMultiplyAdd(odd, w, Wide.Create(2.857142874366239149e-1));
        odd = z * Wide.FusedMultiplyAdd(odd, w, Wide.Create(6.666666666666735130e-1));
        Lanes half = Wide.Create(0.5) * f * f;
        Lanes small = Wide.FusedMultiplyAdd(s, half + (even + odd), k * Wide.Create(1.90821492927058770002e-10));
        Lanes result = Wide.FusedMultiplyAdd(k, Wide.Create(6.93147180369123816490e-1), f - (half - small)) + (x - x);
        return Wide.ConditionalSelect(Wide.Equals(x, Lanes.Zero), Wide.Create(double.NegativeInfinity), result);
    }

    /// <summary>sin x and cos x for |x| &lt; 10⁵.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Lanes Sin, Lanes Cos) SinCos(Lanes x)
    {
        Lanes shifted = Wide.FusedMultiplyAdd(x, Wide.Create(0.63661977236758134308), Wide.Create(Round));
        Lanes n = shifted - Wide.Create(Round);
        Lanes r = Wide.FusedMultiplyAdd(n, Wide.Create(-1.57079632679489661923), x);
        r = Wide.FusedMultiplyAdd(n, Wide.Create(-6.12323399573676603587e-17), r);
        Lanes z = r * r;

        Lanes s = Wide.FusedMultiplyAdd(Wide.Create(1.58962301576546568060e-10), z, Wide.Create(-2.50507477628578072866e-8));
        s = Wide.FusedMultiplyAdd(s, z, Wide.Create(2.75573136213857245213e-6));
        s = Wide.FusedMultiplyAdd(s, z, Wide.Create(-1.98412698295895385996e-4));
        s = Wide.FusedMultiplyAdd(s, z, Wide.Create(8.33333333332211858878e-3));
        s = Wide.FusedMultiplyAdd(s, z, Wide.Create(-1.66666666666666307295e-1));
        s = Wide.FusedMultiplyAdd(s * z, r, r);

        Lanes c = Wide.FusedMultiplyAdd(Wide.Create(-1.13585365213876817300e-11), z, Wide.Create(2.08757008419747316778e-9));
        c = Wide.FusedMultiplyAdd(c, z, Wide.Create(-2.75573141792967388112e-7));
        c = Wide.FusedMultiplyAdd(c, z, Wide.Create(2.48015872888517045348e-5));
        c = Wide.FusedMultiplyAdd(c, z, Wide.Create(-1.38888888888730564116e-3));
        c = Wide.FusedMultiplyAdd(c, z, Wide.Create(4.16666666666665929218e-2));
        c = Wide.FusedMultiplyAdd(c * z, z, Wide.FusedMultiplyAdd(z, Wide.Create(-0.5), Lanes.One));

        // Quarter turns: odd ones swap the two; bit 1 of n is the sign of the sine, bit 1 of n + 1 that of the cosine.
        Bits quarter = shifted.AsInt64(), one = Bits.One;
        Lanes odd = Wide.Equals(quarter & one, one).AsDouble();
        Lanes sine = Wide.ConditionalSelect(odd, c, s), cosine = Wide.ConditionalSelect(odd, s, c);
        Bits sign = Wide.Create(double.NegativeZero).AsInt64();
        return (
            (sine.AsInt64() ^ ((quarter << 62) & sign)).AsDouble(),
            (cosine.AsInt64() ^ (((quarter + one) << 62) & sign)).AsDouble());
    }

    /// <summary>sinh x and cosh x for |x| ≤ ½ by their Taylor series; what is left out is below 1e-17 of either.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Lanes Sinh, Lanes Cosh) SinhCoshSmall(Lanes x)
    {
        Lanes z = x * x;
        Lanes s = Wide.FusedMultiplyAdd(z, Wide.Create(1 / 6227020800.0), Wide.Create(1 / 39916800.0));
        s = Wide.FusedMultiplyAdd(s, z, Wide.Create(1 / 362880.0));
        s = Wide.FusedMultiplyAdd(s, z, Wide.Create(1 / 5040.0));
        s = Wide.FusedMultiplyAdd(s, z, Wide.Create(1 / 120.0));
        s = Wide.FusedMultiplyAdd(s, z, Wide.Create(1 / 6.0));
        Lanes c = Wide.FusedMultiplyAdd(z, Wide.Create(1 / 87178291200.0), Wide.Create(1 / 479001600.0));
        c = Wide.FusedMultiplyAdd(c, z, Wide.Create(1 / 3628800.0));
        c = Wide.FusedMultiplyAdd(c, z, Wide.Create(1 / 40320.0));
        c = Wide.FusedMultiplyAdd(c, z, Wide.Create(1 / 720.0));
        c = Wide.FusedMultiplyAdd(c, z, Wide.Create(1 / 24.0));
        c = Wide.FusedMultiplyAdd(c, z, Wide.Create(0.5));
        return (Wide.FusedMultiplyAdd(s * z, x, x), Wide.FusedMultiplyAdd(c, z, Lanes.One));
    }

    /// <summary>sinh x and cosh x for |x| &lt; 700, absolute error about 1e-16 of cosh x.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Lanes Sinh, Lanes Cosh) SinhCosh(Lanes x)
    {
        Lanes grow = Exp(x), fade = Lanes.One / grow, half = Wide.Create(0.5);
        return ((grow - fade) * half, (grow + fade) * half);
    }
}
