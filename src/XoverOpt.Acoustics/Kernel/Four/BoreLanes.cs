using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>The loop of <see cref="BoreFamily"/>.</summary>
internal static class BoreLanes
{
    /// <param name="low">Node below.</param>
    /// <param name="high">Node above.</param>
    /// <param name="t">Place between them, 0 to 1.</param>
    /// <param name="perBore">∂t/∂bore, 1/m.</param>
    /// <param name="area">S, m².</param>
    /// <param name="bore">Inner diameter, m.</param>
    /// <param name="table">Γ, Z_c, 1/Z_c, z and y.</param>
    /// <param name="slopes">∂Γ/∂bore and ∂ln Z_c/∂bore.</param>
    public static void Fill(Planes low, Planes high, double t, double perBore, double area, double bore, Planes table, Planes slopes)
    {
        int n = table.Count;

        // Hermite's four cubics and their slopes.
        Lanes h01 = Wide.Create(t * t * (3 - (2 * t))), h10 = Wide.Create(t * (1 - t) * (1 - t)), h11 = Wide.Create(t * t * (t - 1));
        Lanes h00 = Wide.Create((1 + (2 * t)) * (1 - t) * (1 - t));
        Lanes d01 = Wide.Create(6 * t * (1 - t) * perBore), d10 = Wide.Create((1 - (4 * t) + (3 * t * t)) * perBore);
        Lanes d11 = Wide.Create(((3 * t * t) - (2 * t)) * perBore);
        for (int at = 0; at < n; at += Lanes.Count)
        {
            int k = Math.Min(at, n - Lanes.Count);
            ComplexLanes g0 = low.Lanes(0, k), m0 = low.Lanes(1, k), g1 = high.Lanes(0, k), m1 = high.Lanes(1, k);
            ComplexLanes gamma = (g0 * h00).Plus(g1, h01).Plus(m0, h10).Plus(m1, h11);
            ComplexLanes gammaSlope = ((g1 - g0) * d01).Plus(m0, d10).Plus(m1, d11);
            g0 = low.Lanes(2, k);
            m0 = low.Lanes(3, k);
            g1 = high.Lanes(2, k);
            m1 = high.Lanes(3, k);
            ComplexLanes normal = (g0 * h00).Plus(g1, h01).Plus(m0, h10).Plus(m1, h11);
            ComplexLanes normalSlope = ((g1 - g0) * d01).Plus(m0, d10).Plus(m1, d11);
            ComplexLanes inverse = normal.Inverse(), zc = normal * Wide.Create(1 / area), admittance = inverse * Wide.Create(area);
            table.Set(0, k, gamma);
            table.Set(1, k, zc);
            table.Set(2, k, admittance);
            table.Set(3, k, gamma * zc);
            table.Set(4, k, gamma * admittance);
            slopes.Set(0, k, gammaSlope);

            // ln Z_c = ln(Z_c S) − ln S, and ∂ln S/∂bore = 2/bore.
            slopes.Set(1, k, (normalSlope * inverse) - new ComplexLanes(Wide.Create(2 / bore), Lanes.Zero));
        }
    }
}
