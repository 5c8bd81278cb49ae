using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// What is left of the phase of the whole after its minimum phase (unless asked to leave it in), a pure delay and whole half turns:
/// <code>d(f) = unwrapped arg p − φ_min + ωτ − kπ</code>
/// k centres the low end of the phase band; τ is by least squares over the band on log frequency. An all-pass hump or a way out of
/// step shows here; a pure delay or a bass lift does not. Radians inside, degrees in reports.
/// </summary>
public sealed class PhaseDeviation
{
    private readonly double[] _omega;
    private readonly double[] _weightedOmega;
    private readonly double _omegaSquare;

    /// <param name="omega">Grid, rad/s.</param>
    /// <param name="weights">Weights of the phase band, a sum of one, zero outside.</param>
    public PhaseDeviation(double[] omega, double[] weights)
    {
        _omega = omega;
        Weights = weights;
        _weightedOmega = [.. weights.Zip(omega, (w, o) => w * o)];
        From = Array.FindIndex(weights, w => w > 0);
        To = Array.FindLastIndex(weights, w => w > 0) + 1;
        for (int k = From; k < To; k++)
        {
            _omegaSquare += weights[k] * omega[k] * omega[k];
        }
    }

    /// <summary>Weights of the phase band.</summary>
    public double[] Weights { get; }

    /// <summary>First grid point of the band.</summary>
    public int From { get; }

    /// <summary>One past the last grid point of the band.</summary>
    public int To { get; }

    /// <summary>Turns raw phases into deviations.</summary>
    /// <param name="phase">arg p, principal values.</param>
    /// <param name="minimum">Minimum phase in the band, or zeros to leave it in.</param>
    /// <param name="nominalDelay">About the delay of the sound path, s: removed before unwrapping so that neighbours differ little.</param>
    /// <param name="deviation">Result in the band, radians.</param>
    /// <returns>RMS and maximum, radians, and the delay τ, s.</returns>
    public (double Rms, double Max, double Delay) Of(
        ReadOnlySpan<double> phase, ReadOnlySpan<double> minimum, double nominalDelay, Span<double> deviation)
    {
        Unwrapping.Of(phase, minimum, _omega, nominalDelay, From, To, deviation);
        double slope = BandSums.Dot(_weightedOmega, deviation, From, To) / _omegaSquare;
        int end = BandSums.End(To);
        ref double omega = ref MemoryMarshal.GetReference(_omega.AsSpan(0, end)), weight = ref MemoryMarshal.GetReference(Weights.AsSpan(0, end));
        ref double result = ref MemoryMarshal.GetReference(deviation[..end]);
        Vector256<double> square = default, largest = default;
        for (int k = BandSums.Start(From); k < end; k += 4)
        {
            Vector256<double> d = Vector256.FusedMultiplyAdd(Vector256.Create(-slope), BandSums.At(ref omega, k), BandSums.At(ref result, k));
            Vector256.StoreUnsafe(d, ref result, (nuint)k);
            square = Vector256.FusedMultiplyAdd(BandSums.At(ref weight, k) * d, d, square);
            largest = Vector256.Max(largest, Vector256.Abs(d) & BandSums.Inside(k, From, To));
        }

        return (Math.Sqrt(BandSums.Total(square)), BandSums.Largest(largest), nominalDelay - slope);
    }

    /// <summary>∂d/∂θ in the band: the tangent of arg p less that of the minimum phase, with its own best delay removed.</summary>
    public void Tangent(ReadOnlySpan<double> phaseTangent, ReadOnlySpan<double> minimumTangent, Span<double> deviationTangent)
    {
        int end = BandSums.End(To);
        ref double phase = ref MemoryMarshal.GetReference(phaseTangent[..end]), minimum = ref MemoryMarshal.GetReference(minimumTangent[..end]);
        ref double omega = ref MemoryMarshal.GetReference(_omega.AsSpan(0, end)), weighted = ref MemoryMarshal.GetReference(_weightedOmega.AsSpan(0, end));
        ref double result = ref MemoryMarshal.GetReference(deviationTangent[..end]);
        Vector256<double> sum = default;
        for (int k = BandSums.Start(From); k < end; k += 4)
        {
            Vector256<double> d = BandSums.At(ref phase, k) - BandSums.At(ref minimum, k);
            Vector256.StoreUnsafe(d, ref result, (nuint)k);
            sum = Vector256.FusedMultiplyAdd(BandSums.At(ref weighted, k), d, sum);
        }

        var slope = Vector256.Create(-BandSums.Total(sum) / _omegaSquare);
        for (int k = BandSums.Start(From); k < end; k += 4)
        {
            Vector256<double> d = Vector256.FusedMultiplyAdd(slope, BandSums.At(ref omega, k), BandSums.At(ref result, k));
            Vector256.StoreUnsafe(d, ref result, (nuint)k);
        }
    }
}
