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
    private readonly double _omegaSquare;

    /// <param name="omega">Grid, rad/s.</param>
    /// <param name="weights">Weights of the phase band, a sum of one, zero outside.</param>
    public PhaseDeviation(double[] omega, double[] weights)
    {
        _omega = omega;
        Weights = weights;
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
        double halfTurns = Math.PI * Math.Round((phase[From] - minimum[From] + (_omega[From] * nominalDelay)) / Math.PI), last = 0;
        for (int k = From; k < To; k++)
        {
            double d = phase[k] - minimum[k] + (_omega[k] * nominalDelay) - halfTurns;
            d -= 2 * Math.PI * Math.Round((d - last) / (2 * Math.PI));
            deviation[k] = last = d;
        }

        double slope = 0;
        for (int k = From; k < To; k++)
        {
            slope += Weights[k] * _omega[k] * deviation[k];
        }

        slope /= _omegaSquare;
        double square = 0, max = 0;
        for (int k = From; k < To; k++)
        {
            double d = deviation[k] - (slope * _omega[k]);
            deviation[k] = d;
            square += Weights[k] * d * d;
            max = Math.Max(max, Math.Abs(d));
        }

        return (Math.Sqrt(square), max, nominalDelay - slope);
    }

    /// <summary>∂d/∂θ in the band: the tangent of arg p less that of the minimum phase, with its own best delay removed.</summary>
    public void Tangent(ReadOnlySpan<double> phaseTangent, ReadOnlySpan<double> minimumTangent, Span<double> deviationTangent)
    {
        double slope = 0;
        for (int k = From; k < To; k++)
        {
            double d = phaseTangent[k] - minimumTangent[k];
            deviationTangent[k] = d;
            slope += Weights[k] * _omega[k] * d;
        }

        slope /= _omegaSquare;
        for (int k = From; k < To; k++)
        {
            deviationTangent[k] -= slope * _omega[k];
        }
    }
}
