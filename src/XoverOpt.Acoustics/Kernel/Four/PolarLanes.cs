using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>The loops of <see cref="PolarForm"/>.</summary>
internal static class PolarLanes
{
    /// <summary>As <see cref="PolarForm.Of(ReadOnlySpan{double}, ReadOnlySpan{double}, Span{double}, Span{double}, Span{double}, int, int)"/>.</summary>
    public static void Of(
        ReadOnlySpan<double> re, ReadOnlySpan<double> im, Span<double> logMagnitude, Span<double> phase, Span<double> magnitude, int from, int to)
    {
        int n = re.Length;
        ref double x = ref MemoryMarshal.GetReference(re), y = ref MemoryMarshal.GetReference(im);
        ref double log = ref MemoryMarshal.GetReference(logMagnitude), angle = ref MemoryMarshal.GetReference(phase), size = ref MemoryMarshal.GetReference(magnitude);

        // The band's logarithms share a division with its angles. It is cut at whole eights whatever the lanes, and written last.
        int start = from & ~7, end = Math.Min((to + 7) & ~7, n);
        Logs(ref x, ref y, ref log, n, 0, start);
        Logs(ref x, ref y, ref log, n, end, n);
        for (int at = start; at < end; at += Lanes.Count)
        {
            nuint k = (nuint)Math.Min(at, n - Lanes.Count);
            var z = new ComplexLanes(Wide.LoadUnsafe(ref x, k), Wide.LoadUnsafe(ref y, k));
            Lanes power = z.Power();
            (Lanes logPower, Lanes direction) = LogAndArgument(power, z.Im, z.Re);
            Wide.StoreUnsafe(logPower * Wide.Create(0.5), ref log, k);
            Wide.StoreUnsafe(direction, ref angle, k);
            if (!magnitude.IsEmpty)
            {
                Wide.StoreUnsafe(Wide.Sqrt(power), ref size, k);
            }
        }
    }

    private static void Logs(ref double x, ref double y, ref double log, int n, int from, int to)
    {
        for (int at = from; at < to; at += Lanes.Count)
        {
            nuint k = (nuint)Math.Min(at, n - Lanes.Count);
            Lanes power = new ComplexLanes(Wide.LoadUnsafe(ref x, k), Wide.LoadUnsafe(ref y, k)).Power();
            Wide.StoreUnsafe(Elementary.Log(power) * Wide.Create(0.5), ref log, k);
        }
    }

    /// <summary>Fills |z| at [<paramref name="from"/>, <paramref name="to"/>) and as far beside it as whole lanes reach.</summary>
    public static void Magnitudes(ReadOnlySpan<double> re, ReadOnlySpan<double> im, Span<double> magnitude, int from, int to)
    {
        int n = re.Length;
        ref double x = ref MemoryMarshal.GetReference(re), y = ref MemoryMarshal.GetReference(im), size = ref MemoryMarshal.GetReference(magnitude);
        for (int at = from; at < to; at += Lanes.Count)
        {
            nuint k = (nuint)Math.Min(at, n - Lanes.Count);
            Wide.StoreUnsafe(Wide.Sqrt(new ComplexLanes(Wide.LoadUnsafe(ref x, k), Wide.LoadUnsafe(ref y, k)).Power()), ref size, k);
        }
    }

    /// <summary>
    /// ln of <paramref name="power"/> and arc tangent of y/x in the right quadrant. The rational approximation of arctan on [0, tan(π/8)…0.66] is that of the Cephes
    /// library (S. L. Moshier, Methods and Programs for Mathematical Functions, 1989); the ratio is reduced to [0, 1] first.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (Lanes Log, Lanes Argument) LogAndArgument(Lanes power, Lanes y, Lanes x)
    {
        Lanes zero = Lanes.Zero;
        Lanes absX = Wide.Abs(x), absY = Wide.Abs(y);
        Lanes larger = Wide.Max(absX, absY), smaller = Wide.Min(absX, absY);
        // t = r or, for r > 0.66, (r − 1)/(r + 1), with r = smaller/larger; one division for either, and what it
        // and the logarithm have lost by sharing it is made good. 0/0 stands for no direction: 0.
        Lanes wide = Wide.GreaterThan(smaller, larger * Wide.Create(0.66));
        Lanes above = Wide.ConditionalSelect(wide, smaller - larger, smaller), below = Wide.ConditionalSelect(wide, smaller + larger, larger);
        (Lanes log, Lanes inverse) = Elementary.LogAndInverse(power, below);
        Lanes t = above * inverse;
        t = Wide.FusedMultiplyAdd(Wide.FusedMultiplyAdd(-t, below, above), inverse, t);
        t = Wide.ConditionalSelect(Wide.Equals(larger, zero), zero, t);
        Lanes s = t * t;
        Lanes p = Wide.Create(-8.750608600031904122785e-1);
        p = Wide.FusedMultiplyAdd(p, s, Wide.Create(-1.615753718733365076637e1));
        p = Wide.FusedMultiplyAdd(p, s, Wide.Create(-7.500855792314704667340e1));
        p = Wide.FusedMultiplyAdd(p, s, Wide.Create(-1.228866684490136173410e2));
        p = Wide.FusedMultiplyAdd(p, s, Wide.Create(-6.485021904942025371773e1));
        Lanes q = s + Wide.Create(2.485846490142306297962e1);
        q = Wide.FusedMultiplyAdd(q, s, Wide.Create(1.650270098316988542046e2));
        q = Wide.FusedMultiplyAdd(q, s, Wide.Create(4.328810604912902668951e2));
        q = Wide.FusedMultiplyAdd(q, s, Wide.Create(4.853903996359136964868e2));
        q = Wide.FusedMultiplyAdd(q, s, Wide.Create(1.945506571482613964425e2));
        Lanes angle = Wide.FusedMultiplyAdd(t * s, p / q, t);
        angle += Wide.ConditionalSelect(wide, Wide.Create(Math.PI / 4), zero);

        angle = Wide.ConditionalSelect(Wide.GreaterThan(absY, absX), Wide.Create(Math.PI / 2) - angle, angle);
        angle = Wide.ConditionalSelect(Wide.LessThan(x, zero), Wide.Create(Math.PI) - angle, angle);
        return (log, Wide.ConditionalSelect(Wide.LessThan(y, zero), -angle, angle));
    }
}
