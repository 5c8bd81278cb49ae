using System.Runtime.InteropServices;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// Summing loss 20 log₁₀(Σ|shares| / |Σ shares|), dB: what the ways lose against each other; 0 dB is coherent. The worst is reported
/// where ways overlap: where the second strongest share is within 10 dB of the strongest.
/// </summary>
public static class SummingLoss
{
    private static readonly double Overlap = Math.Pow(10, -10.0 / 20);

    /// <summary>Fills the loss in nepers over [<paramref name="from"/>, <paramref name="to"/>) and returns the worst in overlaps, dB.</summary>
    /// <param name="shares">|share|, a row a way of <paramref name="count"/> numbers.</param>
    /// <param name="wholeLog">ln|p|.</param>
    /// <param name="ways">How many ways.</param>
    /// <param name="count">Grid length, a multiple of four.</param>
    /// <param name="from">First grid point.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="loss">Result, nepers.</param>
    /// <param name="fractions">|share|/Σ|shares|, a row a way.</param>
    public static double Of(
        ReadOnlySpan<double> shares, ReadOnlySpan<double> wholeLog, int ways, int count, int from, int to, Span<double> loss, Span<double> fractions)
    {
        ref double share = ref MemoryMarshal.GetReference(shares[..(ways * count)]), whole = ref MemoryMarshal.GetReference(wholeLog[..count]);
        ref double result = ref MemoryMarshal.GetReference(loss[..count]), fraction = ref MemoryMarshal.GetReference(fractions[..(ways * count)]);
        Vector256<double> worst = default;
        for (int k = BandSums.Start(from); k < BandSums.End(to); k += 4)
        {
            Vector256<double> sum = default, first = default, second = default;
            for (int i = 0; i < ways; i++)
            {
                Vector256<double> size = BandSums.At(ref share, (i * count) + k);
                sum += size;
                second = Vector256.Max(second, Vector256.Min(size, first));
                first = Vector256.Max(first, size);
            }

            Vector256<double> inverse = Vector256<double>.One / sum;
            for (int i = 0; i < ways; i++)
            {
                Vector256.StoreUnsafe(BandSums.At(ref share, (i * count) + k) * inverse, ref fraction, (nuint)((i * count) + k));
            }

            Vector256<double> lost = Vector256.Max(Elementary.Log(sum) - BandSums.At(ref whole, k), Vector256<double>.Zero);
            Vector256.StoreUnsafe(lost, ref result, (nuint)k);
            Vector256<double> overlap = Vector256.GreaterThanOrEqual(second, first * Vector256.Create(Overlap)) & BandSums.Inside(k, from, to);
            worst = Vector256.Max(worst, lost & overlap);
        }

        return MagnitudeError.DbPerNeper * BandSums.Largest(worst);
    }
}
