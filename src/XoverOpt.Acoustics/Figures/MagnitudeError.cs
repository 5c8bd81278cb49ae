using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// Magnitude error e(f) = L_p(f) − target(f) − offset, dB: offset is the mean of L_p − target over the level band (relative) or zero
/// (absolute). RMS is weighted on log frequency; the maximum is over the target band.
/// </summary>
public sealed class MagnitudeError
{
    /// <summary>dB per neper.</summary>
    public const double DbPerNeper = 8.685889638065036553;

    private static readonly double ReferenceLevel = 20 * Math.Log10(20e-6);
    private readonly double[] _target;
    private readonly double[] _level;
    private readonly int _levelFrom;
    private readonly int _levelTo;
    private readonly double _levelTarget;

    /// <param name="target">Target level at each grid frequency, dB.</param>
    /// <param name="weights">Weights of the RMS, a sum of one, zero outside the band.</param>
    /// <param name="band">Weights of the target band without the user's weighting, zero outside.</param>
    /// <param name="level">Weights of the level band, a sum of one; null for an absolute target.</param>
    public MagnitudeError(double[] target, double[] weights, double[] band, double[]? level)
    {
        _target = target;
        Weights = weights;
        Band = band;
        _level = level ?? [];
        _levelFrom = Array.FindIndex(_level, w => w != 0);
        _levelTo = Array.FindLastIndex(_level, w => w != 0) + 1;
        for (int k = 0; k < _level.Length; k++)
        {
            _levelTarget += _level[k] * target[k];
        }

        From = Array.FindIndex(band, w => w > 0);
        To = Array.FindLastIndex(band, w => w > 0) + 1;
    }

    /// <summary>Weights of the RMS.</summary>
    public double[] Weights { get; }

    /// <summary>Weights of the plain band.</summary>
    public double[] Band { get; }

    /// <summary>First grid point of the band.</summary>
    public int From { get; }

    /// <summary>One past the last grid point of the band.</summary>
    public int To { get; }

    /// <summary>Fills <paramref name="error"/> in the band from ln|p| (Pa) and returns RMS and maximum, dB.</summary>
    public (double Rms, double Max) Of(ReadOnlySpan<double> logMagnitude, Span<double> error)
    {
        double offset = ReferenceLevel;
        if (_level.Length > 0)
        {
            offset = (DbPerNeper * BandSums.Dot(_level, logMagnitude, _levelFrom, _levelTo)) - _levelTarget;
        }

        int end = BandSums.End(To);
        ref double log = ref MemoryMarshal.GetReference(logMagnitude[..end]), target = ref MemoryMarshal.GetReference(_target.AsSpan(0, end));
        ref double weight = ref MemoryMarshal.GetReference(Weights.AsSpan(0, end)), result = ref MemoryMarshal.GetReference(error[..end]);
        Vector256<double> square = default, largest = default;
        for (int k = BandSums.Start(From); k < end; k += 4)
        {
            Vector256<double> e = Vector256.FusedMultiplyAdd(
                Vector256.Create(DbPerNeper), BandSums.At(ref log, k), -(BandSums.At(ref target, k) + Vector256.Create(offset)));
            Vector256.StoreUnsafe(e, ref result, (nuint)k);
            square = Vector256.FusedMultiplyAdd(BandSums.At(ref weight, k) * e, e, square);
            largest = Vector256.Max(largest, Vector256.Abs(e) & BandSums.Inside(k, From, To));
        }

        return (Math.Sqrt(BandSums.Total(square)), BandSums.Largest(largest));
    }

    /// <summary>∂e/∂θ in the band, dB, from ∂ln|p|/∂θ.</summary>
    public void Tangent(ReadOnlySpan<double> logTangent, Span<double> errorTangent)
    {
        int end = BandSums.End(To);
        double offset = _level.Length > 0 ? BandSums.Dot(_level, logTangent, _levelFrom, _levelTo) : 0;
        ref double log = ref MemoryMarshal.GetReference(logTangent[..end]), result = ref MemoryMarshal.GetReference(errorTangent[..end]);
        for (int k = BandSums.Start(From); k < end; k += 4)
        {
            Vector256.StoreUnsafe((BandSums.At(ref log, k) - Vector256.Create(offset)) * Vector256.Create(DbPerNeper), ref result, (nuint)k);
        }
    }
}
