using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Kernel;

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
    public static Vector256<double> Exp(Vector256<double> x)
    {
        Vector256<double> shifted = Vector256.FusedMultiplyAdd(x, Vector256.Create(1.4426950408889634074), Vector256.Create(Round));
        Vector256<double> n = shifted - Vector256.Create(Round);
        Vector256<double> r = Vector256.FusedMultiplyAdd(n, Vector256.Create(-6.93145751953125e-1), x);
        r = Vector256.FusedMultiplyAdd(n, Vector256.Create(-1.42860682030941723212e-6), r);
        Vector256<double> z = r * r;
        Vector256<double> p = Vector256.FusedMultiplyAdd(Vector256.Create(1.26177193074810590878e-4), z, Vector256.Create(3.02994407707441961300e-2));
        p = r * Vector256.FusedMultiplyAdd(p, z, Vector256.Create(9.99999999999999999910e-1));
        Vector256<double> q = Vector256.FusedMultiplyAdd(Vector256.Create(3.00198505138664455042e-6), z, Vector256.Create(2.52448340349684104192e-3));
        q = Vector256.FusedMultiplyAdd(q, z, Vector256.Create(2.27265548208155028766e-1));
        q = Vector256.FusedMultiplyAdd(q, z, Vector256.Create(2.00000000000000000009));
        Vector256<double> e = p / (q - p);
        Vector256<double> power = ((shifted.AsInt64() << 52) + Vector256<double>.One.AsInt64()).AsDouble();
        return (Vector256<double>.One + e + e) * power;
    }

    /// <summary>ln x for x > 0 and not subnormal; −∞ for 0, not a number for what is not finite.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<double> Log(Vector256<double> x)
    {
        // x = 2^k m with m from √½ to √2; k is kept positive while it is shifted.
        var bias = Vector256.Create(0x400L << 52);
        Vector256<long> root = Vector256.Create(0.70710678118654752440).AsInt64(), bits = x.AsInt64();
        Vector256<long> exponent = ((bits - root + bias) >>> 52) - Vector256.Create(0x400L);
        Vector256<double> k = (exponent + Vector256.Create(Round).AsInt64()).AsDouble() - Vector256.Create(Round);
        Vector256<double> f = (bits - (exponent << 52)).AsDouble() - Vector256<double>.One;
        Vector256<double> s = f / (f + Vector256.Create(2.0)), z = s * s, w = z * z;
        Vector256<double> even = Vector256.FusedMultiplyAdd(Vector256.Create(1.531383769920937332e-1), w, Vector256.Create(2.222219843214978396e-1));
        even = w * Vector256.FusedMultiplyAdd(even, w, Vector256.Create(3.999999999940941908e-1));
        Vector256<double> odd = Vector256.FusedMultiplyAdd(Vector256.Create(1.479819860511658591e-1), w, Vector256.Create(1.818357216161805012e-1));
        odd = Vector256.FusedMultiplyAdd(odd, w, Vector256.Create(2.857142874366239149e-1));
        odd = z * Vector256.FusedMultiplyAdd(odd, w, Vector256.Create(6.666666666666735130e-1));
        Vector256<double> half = Vector256.Create(0.5) * f * f;
        Vector256<double> small = Vector256.FusedMultiplyAdd(s, half + (even + odd), k * Vector256.Create(1.90821492927058770002e-10));
        Vector256<double> result = Vector256.FusedMultiplyAdd(k, Vector256.Create(6.93147180369123816490e-1), f - (half - small)) + (x - x);
        return Vector256.ConditionalSelect(Vector256.Equals(x, Vector256<double>.Zero), Vector256.Create(double.NegativeInfinity), result);
    }

    /// <summary>sin x and cos x for |x| &lt; 10⁵.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector256<double> Sin, Vector256<double> Cos) SinCos(Vector256<double> x)
    {
        Vector256<double> shifted = Vector256.FusedMultiplyAdd(x, Vector256.Create(0.63661977236758134308), Vector256.Create(Round));
        Vector256<double> n = shifted - Vector256.Create(Round);
        Vector256<double> r = Vector256.FusedMultiplyAdd(n, Vector256.Create(-1.57079632679489661923), x);
        r = Vector256.FusedMultiplyAdd(n, Vector256.Create(-6.12323399573676603587e-17), r);
        Vector256<double> z = r * r;

        Vector256<double> s = Vector256.FusedMultiplyAdd(Vector256.Create(1.58962301576546568060e-10), z, Vector256.Create(-2.50507477628578072866e-8));
        s = Vector256.FusedMultiplyAdd(s, z, Vector256.Create(2.75573136213857245213e-6));
        s = Vector256.FusedMultiplyAdd(s, z, Vector256.Create(-1.98412698295895385996e-4));
        s = Vector256.FusedMultiplyAdd(s, z, Vector256.Create(8.33333333332211858878e-3));
        s = Vector256.FusedMultiplyAdd(s, z, Vector256.Create(-1.66666666666666307295e-1));
        s = Vector256.FusedMultiplyAdd(s * z, r, r);

        Vector256<double> c = Vector256.FusedMultiplyAdd(Vector256.Create(-1.13585365213876817300e-11), z, Vector256.Create(2.08757008419747316778e-9));
        c = Vector256.FusedMultiplyAdd(c, z, Vector256.Create(-2.75573141792967388112e-7));
        c = Vector256.FusedMultiplyAdd(c, z, Vector256.Create(2.48015872888517045348e-5));
        c = Vector256.FusedMultiplyAdd(c, z, Vector256.Create(-1.38888888888730564116e-3));
        c = Vector256.FusedMultiplyAdd(c, z, Vector256.Create(4.16666666666665929218e-2));
        c = Vector256.FusedMultiplyAdd(c * z, z, Vector256.FusedMultiplyAdd(z, Vector256.Create(-0.5), Vector256<double>.One));

        // Quarter turns: odd ones swap the two; bit 1 of n is the sign of the sine, bit 1 of n + 1 that of the cosine.
        Vector256<long> quarter = shifted.AsInt64(), one = Vector256<long>.One;
        Vector256<double> odd = Vector256.Equals(quarter & one, one).AsDouble();
        Vector256<double> sine = Vector256.ConditionalSelect(odd, c, s), cosine = Vector256.ConditionalSelect(odd, s, c);
        Vector256<long> sign = Vector256.Create(double.NegativeZero).AsInt64();
        return (
            (sine.AsInt64() ^ ((quarter << 62) & sign)).AsDouble(),
            (cosine.AsInt64() ^ (((quarter + one) << 62) & sign)).AsDouble());
    }
}
