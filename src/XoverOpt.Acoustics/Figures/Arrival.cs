namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// Arrival of one way: the delay left in its share after the share's own minimum phase is removed, by least squares on log frequency
/// over the part of the band where the share is within 10 dB of the whole. So that a search sees no jumps, a grid point fades in over
/// 1 dB around that edge. Common practice, no source: ways should arrive within 10 µs of each other (36° at 10 kHz).
/// <code>τ = −Σ w ω (θ − kπ) / Σ w ω²,  θ = unwrapped arg share − φ_min,  w = band weight × fade</code>
/// </summary>
public sealed class Arrival
{
    private const double EdgeDb = -10;
    private const double HalfFadeDb = 0.5;
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

    /// <summary>The arrival, s, and what it depends on.</summary>
    /// <param name="shareLog">ln|share|.</param>
    /// <param name="wholeLog">ln|p|.</param>
    /// <param name="phase">arg share, principal values.</param>
    /// <param name="minimum">Minimum phase of the share in the band.</param>
    /// <param name="nominalDelay">About the delay of the way's sound path, s; removed before unwrapping.</param>
    /// <param name="onPhase">∂τ/∂θ at each grid point, s per radian; zero outside the band.</param>
    /// <param name="onLevel">∂τ/∂(ln|share| − ln|p|) through the fade, s per neper; zero outside the band.</param>
    /// <returns>τ; the nominal delay if the way is nowhere within 10 dB of the whole.</returns>
    public double Of(
        ReadOnlySpan<double> shareLog,
        ReadOnlySpan<double> wholeLog,
        ReadOnlySpan<double> phase,
        ReadOnlySpan<double> minimum,
        double nominalDelay,
        Span<double> onPhase,
        Span<double> onLevel)
    {
        onPhase.Clear();
        onLevel.Clear();
        double halfTurns = Math.PI * Math.Round((phase[From] - minimum[From] + (_omega[From] * nominalDelay)) / Math.PI);
        double square = 0, product = 0, last = 0;
        for (int k = From; k < To; k++)
        {
            // θ for now stands in onLevel; half turns are those of the first point, whole turns are followed from there.
            double theta = phase[k] - minimum[k] + (_omega[k] * nominalDelay) - halfTurns;
            theta -= 2 * Math.PI * Math.Round((theta - last) / (2 * Math.PI));
            onLevel[k] = last = theta;
            (double fade, _) = Fade(shareLog[k] - wholeLog[k]);
            double w = _band[k] * fade;
            onPhase[k] = w;
            square += w * _omega[k] * _omega[k];
            product += w * _omega[k] * theta;
        }

        if (square == 0)
        {
            onPhase.Clear();
            onLevel.Clear();
            return nominalDelay;
        }

        double late = -product / square;
        for (int k = From; k < To; k++)
        {
            (_, double slope) = Fade(shareLog[k] - wholeLog[k]);
            double theta = onLevel[k];
            onLevel[k] = slope == 0 ? 0 : -_band[k] * slope * _omega[k] * (theta + (late * _omega[k])) / square;
            onPhase[k] *= -_omega[k] / square;
        }

        return nominalDelay + late;
    }

    /// <summary>Fade over the level difference in nepers, and its slope per neper.</summary>
    private static (double Value, double Slope) Fade(double neper)
    {
        double t = ((MagnitudeError.DbPerNeper * neper) - EdgeDb + HalfFadeDb) / (2 * HalfFadeDb);
        return t switch
        {
            <= 0 => (0, 0),
            >= 1 => (1, 0),
            _ => (t * t * (3 - (2 * t)), 6 * t * (1 - t) * MagnitudeError.DbPerNeper / (2 * HalfFadeDb)),
        };
    }
}
