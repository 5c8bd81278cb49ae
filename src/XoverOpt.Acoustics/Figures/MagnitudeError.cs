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
        double offset = 0;
        for (int k = 0; k < _level.Length; k++)
        {
            if (_level[k] != 0)
            {
                offset += _level[k] * ((DbPerNeper * logMagnitude[k]) - ReferenceLevel - _target[k]);
            }
        }

        double square = 0, max = 0;
        for (int k = From; k < To; k++)
        {
            double e = (DbPerNeper * logMagnitude[k]) - ReferenceLevel - _target[k] - offset;
            error[k] = e;
            square += Weights[k] * e * e;
            max = Math.Max(max, Math.Abs(e));
        }

        return (Math.Sqrt(square), max);
    }

    /// <summary>∂e/∂θ in the band, dB, from ∂ln|p|/∂θ.</summary>
    public void Tangent(ReadOnlySpan<double> logTangent, Span<double> errorTangent)
    {
        double offset = 0;
        for (int k = 0; k < _level.Length; k++)
        {
            offset += _level[k] * logTangent[k];
        }

        for (int k = From; k < To; k++)
        {
            errorTangent[k] = DbPerNeper * (logTangent[k] - offset);
        }
    }
}
