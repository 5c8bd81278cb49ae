using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// Arrival of one way: the delay left in its share after the share's own minimum phase is removed, by least squares on log frequency
/// over the part of the band where the share is within 10 dB of the whole. So that a search sees no jumps, a grid point fades in over
/// 4 dB around that edge. Common practice, no source: ways should arrive within 10 µs of each other (36° at 10 kHz).
/// <code>τ = −Σ w ω (θ − kπ) / Σ w ω²,  θ = unwrapped arg share − φ_min,  w = band weight × fade</code>
/// </summary>
public sealed class Arrival
{
    private const double EdgeDb = -10;
    private const double HalfFadeDb = 2;
    private readonly double[] _omega;
    private readonly double[] _band;

    /// <param name="omega">Grid, rad/s.</param>
    /// <param name="band">Weights of the band, zero outside.</param>
    public Arrival(double[] omega, double[] band)
    {
        _omega = omega;
        _band = band;
        From = Array.FindIndex(band, w => w > 0);
        To = Array.FindLastIndex(band, w => w > 0) + 1;
    }

    /// <summary>First grid point of the band.</summary>
    public int From { get; }

    /// <summary>One past the last grid point of the band.</summary>
    public int To { get; }

    /// <summary>The arrival of a way.</summary>
    /// <param name="Delay">τ, s; the nominal delay if the way is nowhere within 10 dB of the whole.</param>
    /// <param name="Nominal">The nominal delay, s.</param>
    /// <param name="Square">Σ w ω², rad²/s²; 0 if the way is nowhere within 10 dB of the whole.</param>
    public readonly record struct Fit(double Delay, double Nominal, double Square);

    /// <summary>The arrival.</summary>
    /// <param name="shareLog">ln|share|.</param>
    /// <param name="wholeLog">ln|p|.</param>
    /// <param name="phase">arg share, principal values.</param>
    /// <param name="minimum">Minimum phase of the share in the band.</param>
    /// <param name="nominalDelay">About the delay of the way's sound path, s; removed before unwrapping.</param>
    /// <param name="theta">Takes θ + ω·nominal delay − kπ in the band, radians.</param>
    public Fit Of(
        ReadOnlySpan<double> shareLog,
        ReadOnlySpan<double> wholeLog,
        ReadOnlySpan<double> phase,
        ReadOnlySpan<double> minimum,
        double nominalDelay,
        Span<double> theta)
    {
        int end = BandSums.End(To);
        Unwrapping.Of(phase, minimum, _omega, nominalDelay, From, To, theta);
        ref double share = ref MemoryMarshal.GetReference(shareLog[..end]), whole = ref MemoryMarshal.GetReference(wholeLog[..end]);
        ref double omega = ref MemoryMarshal.GetReference(_omega.AsSpan(0, end)), band = ref MemoryMarshal.GetReference(_band.AsSpan(0, end));
        ref double angle = ref MemoryMarshal.GetReference(theta[..end]);
        Vector256<double> square = default, product = default;
        for (int k = BandSums.Start(From); k < end; k += 4)
        {
            Vector256<double> t = Rise(BandSums.At(ref share, k) - BandSums.At(ref whole, k)), w = BandSums.At(ref omega, k);
            Vector256<double> weighted = BandSums.At(ref band, k) * (t * t * (Vector256.Create(3.0) - (t + t))) * w;
            square = Vector256.FusedMultiplyAdd(weighted, w, square);
            product = Vector256.FusedMultiplyAdd(weighted, BandSums.At(ref angle, k), product);
        }

        double sum = BandSums.Total(square);
        return new(sum == 0 ? nominalDelay : nominalDelay - (BandSums.Total(product) / sum), nominalDelay, sum);
    }

    /// <summary>What the arrival depends on.</summary>
    /// <param name="fit">The arrival.</param>
    /// <param name="shareLog">ln|share|.</param>
    /// <param name="wholeLog">ln|p|.</param>
    /// <param name="theta">θ as <see cref="Of"/> left it.</param>
    /// <param name="onPhase">∂τ/∂θ at each grid point, s per radian; zero outside the band.</param>
    /// <param name="onLevel">∂τ/∂(ln|share| − ln|p|) through the fade, s per neper; zero outside the band.</param>
    public void Slopes(
        Fit fit, ReadOnlySpan<double> shareLog, ReadOnlySpan<double> wholeLog, ReadOnlySpan<double> theta, Span<double> onPhase, Span<double> onLevel)
    {
        onPhase.Clear();
        onLevel.Clear();
        if (fit.Square == 0)
        {
            return;
        }

        int end = BandSums.End(To);
        ref double share = ref MemoryMarshal.GetReference(shareLog[..end]), whole = ref MemoryMarshal.GetReference(wholeLog[..end]);
        ref double omega = ref MemoryMarshal.GetReference(_omega.AsSpan(0, end)), band = ref MemoryMarshal.GetReference(_band.AsSpan(0, end));
        ref double angle = ref MemoryMarshal.GetReference(theta[..end]);
        ref double phase = ref MemoryMarshal.GetReference(onPhase[..end]), level = ref MemoryMarshal.GetReference(onLevel[..end]);
        var late = Vector256.Create(fit.Delay - fit.Nominal);
        for (int k = BandSums.Start(From); k < end; k += 4)
        {
            Vector256<double> t = Rise(BandSums.At(ref share, k) - BandSums.At(ref whole, k)), w = BandSums.At(ref omega, k);
            Vector256<double> onWeight = -(BandSums.At(ref band, k) * w) * Vector256.Create(1 / fit.Square);
            Vector256<double> slope = t * (Vector256<double>.One - t) * Vector256.Create(6 * MagnitudeError.DbPerNeper / (2 * HalfFadeDb));
            Vector256.StoreUnsafe(onWeight * (t * t * (Vector256.Create(3.0) - (t + t))), ref phase, (nuint)k);

            // Where the fade is flat, θ may be anything, so that what stands beside the band must not be multiplied by zero.
            Vector256<double> onFade = onWeight * slope * Vector256.FusedMultiplyAdd(late, w, BandSums.At(ref angle, k));
            Vector256.StoreUnsafe(onFade & ~Vector256.Equals(onWeight * slope, Vector256<double>.Zero), ref level, (nuint)k);
        }
    }

    /// <summary>Where a level difference in nepers stands on the fade, 0 to 1.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Rise(Vector256<double> neper)
    {
        Vector256<double> t = Vector256.FusedMultiplyAdd(
            neper, Vector256.Create(MagnitudeError.DbPerNeper / (2 * HalfFadeDb)), Vector256.Create((HalfFadeDb - EdgeDb) / (2 * HalfFadeDb)));
        return Vector256.Min(Vector256.Max(t, Vector256<double>.Zero), Vector256<double>.One);
    }
}
