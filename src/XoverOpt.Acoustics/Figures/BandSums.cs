using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// Sums over a band of the grid in an order that no lane width changes: four running sums, joined last. They run in whole blocks of four,
/// so that what is summed must be zero beside the band, as weights are.
/// </summary>
public static class BandSums
{
    /// <summary>First point of the blocks that hold a band.</summary>
    public static int Start(int from) => from & ~3;

    /// <summary>One past the last point of the blocks that hold a band.</summary>
    public static int End(int to) => (to + 3) & ~3;

    /// <summary>Σ a·b.</summary>
    public static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b, int from, int to)
    {
        int start = Start(from), end = End(to);
        ref double x = ref MemoryMarshal.GetReference(a[..end]), y = ref MemoryMarshal.GetReference(b[..end]);
        Vector256<double> even = default, odd = default;
        int k = start;
        for (; k + 8 <= end; k += 8)
        {
            even = Vector256.FusedMultiplyAdd(At(ref x, k), At(ref y, k), even);
            odd = Vector256.FusedMultiplyAdd(At(ref x, k + 4), At(ref y, k + 4), odd);
        }

        if (k < end)
        {
            even = Vector256.FusedMultiplyAdd(At(ref x, k), At(ref y, k), even);
        }

        return Total(even + odd);
    }

    /// <summary>Σ a·c, Σ a·d, Σ b·c and Σ b·d: each number loaded is used twice, and eight running sums keep both multipliers busy.</summary>
    public static (double Ac, double Ad, double Bc, double Bd) Dots(
        ReadOnlySpan<double> a, ReadOnlySpan<double> b, ReadOnlySpan<double> c, ReadOnlySpan<double> d, int from, int to)
    {
        int start = Start(from), end = End(to);
        ref double w = ref MemoryMarshal.GetReference(a[..end]), x = ref MemoryMarshal.GetReference(b[..end]);
        ref double y = ref MemoryMarshal.GetReference(c[..end]), z = ref MemoryMarshal.GetReference(d[..end]);
        Vector256<double> ac = default, ad = default, bc = default, bd = default, oddAc = default, oddAd = default, oddBc = default, oddBd = default;
        int k = start;
        for (; k + 8 <= end; k += 8)
        {
            Vector256<double> va = At(ref w, k), vb = At(ref x, k), vc = At(ref y, k), vd = At(ref z, k);
            (ac, ad) = (Vector256.FusedMultiplyAdd(va, vc, ac), Vector256.FusedMultiplyAdd(va, vd, ad));
            (bc, bd) = (Vector256.FusedMultiplyAdd(vb, vc, bc), Vector256.FusedMultiplyAdd(vb, vd, bd));
            (va, vb, vc, vd) = (At(ref w, k + 4), At(ref x, k + 4), At(ref y, k + 4), At(ref z, k + 4));
            (oddAc, oddAd) = (Vector256.FusedMultiplyAdd(va, vc, oddAc), Vector256.FusedMultiplyAdd(va, vd, oddAd));
            (oddBc, oddBd) = (Vector256.FusedMultiplyAdd(vb, vc, oddBc), Vector256.FusedMultiplyAdd(vb, vd, oddBd));
        }

        if (k < end)
        {
            Vector256<double> va = At(ref w, k), vb = At(ref x, k), vc = At(ref y, k), vd = At(ref z, k);
            (ac, ad) = (Vector256.FusedMultiplyAdd(va, vc, ac), Vector256.FusedMultiplyAdd(va, vd, ad));
            (bc, bd) = (Vector256.FusedMultiplyAdd(vb, vc, bc), Vector256.FusedMultiplyAdd(vb, vd, bd));
        }

        return (Total(ac + oddAc), Total(ad + oddAd), Total(bc + oddBc), Total(bd + oddBd));
    }

    /// <summary>The four running sums joined.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double Total(Vector256<double> sums) => (sums[0] + sums[2]) + (sums[1] + sums[3]);

    /// <summary>The largest of four.</summary>
    internal static double Largest(Vector256<double> values) => Math.Max(Math.Max(values[0], values[1]), Math.Max(values[2], values[3]));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal static Vector256<double> At(ref double first, int k) => Vector256.LoadUnsafe(ref first, (nuint)k);

    /// <summary>All ones where a point of the block at <paramref name="k"/> lies in [<paramref name="from"/>, <paramref name="to"/>).</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal static Vector256<double> Inside(int k, int from, int to)
    {
        Vector256<double> index = Vector256<double>.Indices + Vector256.Create((double)k);
        return Vector256.GreaterThanOrEqual(index, Vector256.Create((double)from)) & Vector256.LessThan(index, Vector256.Create((double)to));
    }
}
