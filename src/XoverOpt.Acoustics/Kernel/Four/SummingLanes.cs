using System.Runtime.InteropServices;
using XoverOpt.Acoustics.Figures;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>The loop of <see cref="SummingLoss"/>.</summary>
internal static class SummingLanes
{
    /// <summary>As <see cref="SummingLoss.Of"/>, in nepers; <paramref name="overlap"/> is the least ratio of second to strongest share.</summary>
    public static double Of(
        ReadOnlySpan<double> shares,
        ReadOnlySpan<double> wholeLog,
        int ways,
        int count,
        int from,
        int to,
        Span<double> loss,
        Span<double> fractions,
        double overlap)
    {
        ref double share = ref MemoryMarshal.GetReference(shares[..(ways * count)]), whole = ref MemoryMarshal.GetReference(wholeLog[..count]);
        ref double result = ref MemoryMarshal.GetReference(loss[..count]), fraction = ref MemoryMarshal.GetReference(fractions[..(ways * count)]);
        Lanes worst = default;
        for (int at = BandSums.Start(from); at < to; at += Lanes.Count)
        {
            int k = Math.Min(at, count - Lanes.Count);
            Lanes sum = default, first = default, second = default;
            for (int i = 0; i < ways; i++)
            {
                Lanes size = Wide.LoadUnsafe(ref share, (nuint)((i * count) + k));
                sum += size;
                second = Wide.Max(second, Wide.Min(size, first));
                first = Wide.Max(first, size);
            }

            (Lanes log, Lanes inverse) = Elementary.LogAndInverse(sum, sum);
            for (int i = 0; i < ways; i++)
            {
                nuint row = (nuint)((i * count) + k);
                Wide.StoreUnsafe(Wide.LoadUnsafe(ref share, row) * inverse, ref fraction, row);
            }

            Lanes lost = Wide.Max(log - Wide.LoadUnsafe(ref whole, (nuint)k), Lanes.Zero);
            Wide.StoreUnsafe(lost, ref result, (nuint)k);
            Lanes point = Lanes.Indices + Wide.Create((double)k);
            Lanes inside = Wide.GreaterThanOrEqual(point, Wide.Create((double)from)) & Wide.LessThan(point, Wide.Create((double)to));
            worst = Wide.Max(worst, lost & inside & Wide.GreaterThanOrEqual(second, first * Wide.Create(overlap)));
        }

        double largest = 0;
        for (int lane = 0; lane < Lanes.Count; lane++)
        {
            largest = Math.Max(largest, worst[lane]);
        }

        return largest;
    }
}
