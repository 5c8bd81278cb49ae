using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>
/// How much of a round bore's cross-section its boundary layer takes:
/// <code>
/// F(x) = 2 J₁(x) / (x J₀(x)),   x = k a
/// 1 − F(x) = −J₂(x) / J₀(x)
/// </code>
/// x² = −jωρa²/η for friction and −jωa²/α_t for heat. F → 1 in a very narrow bore or at very low frequency, F → 0 in a wide one.
/// <para>
/// Both come from the one continued fraction r = x J₂/J₁ = x²/(4 − x²/(6 − x²/(8 − …))) (NIST DLMF 10.10.1): F = 2/(2 − r) and
/// 1 − F = −r/(2 − r). Bessel functions as such overflow at |x| of about 1000 on this ray; their ratio does not, and 1 − F loses
/// nothing at small x, where it is −x²/8.
/// </para>
/// </summary>
public static class BoundaryLayer
{
    /// <summary>F and 1 − F at the given x², both to about 1e-14 of themselves for 1e-8 ≤ |x| ≤ 1e5 on the ray x² = −j|x|².</summary>
    /// <param name="xSquared">x², dimensionless; not real positive, where J₀ has its zeros.</param>
    public static (Complex F, Complex OneMinusF) At(Complex xSquared)
    {
        Complex r = Ratio(xSquared);
        return (2 / (2 - r), -r / (2 - r));
    }

    /// <summary>
    /// x J₂/J₁ from the tail of the continued fraction. Backward evaluation is stable here: J is the minimal solution of the
    /// recurrence as the order grows. A tail begun at order n is off by about |J_n/H_n| ~ exp(−0.7 n²/|x|) for n ≲ |x| and falls
    /// faster still beyond, which sets where to begin.
    /// </summary>
    private static Complex Ratio(Complex xSquared)
    {
        int n = 16 + (int)(8 * Math.Sqrt(Math.Sqrt(Complex.Abs(xSquared))));
        Complex tail = 2 * n;
        for (int order = n - 1; order >= 2; order--)
        {
            tail = (2 * order) - (xSquared / tail);
        }

        return xSquared / tail;
    }
}
