namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// The frequencies of an evaluation. The standard grid is even on log frequency, contains 1 kHz, and reaches from about 5 Hz to
/// about 75 kHz, well beyond hearing, because the minimum phase inside a band depends on the magnitude outside it.
/// Counts are multiples of <see cref="Lanes"/>, so that kernels need no remainder loop.
/// </summary>
public sealed class FrequencyGrid
{
    /// <summary>Frequencies the kernel handles at once.</summary>
    public const int Lanes = 4;

    private FrequencyGrid(double[] hz, int pointsPerOctave)
    {
        Hz = hz;
        Omega = [.. hz.Select(f => 2 * Math.PI * f)];
        InverseOmega = [.. Omega.Select(omega => 1 / omega)];
        PointsPerOctave = pointsPerOctave;
    }

    /// <summary>Frequencies, Hz, rising.</summary>
    public double[] Hz { get; }

    /// <summary>Angular frequencies, rad/s.</summary>
    public double[] Omega { get; }

    /// <summary>1/ω, s/rad.</summary>
    public double[] InverseOmega { get; }

    /// <summary>Points an octave; 0 for a list of stated frequencies.</summary>
    public int PointsPerOctave { get; }

    /// <summary>How many frequencies, a multiple of <see cref="Lanes"/>.</summary>
    public int Count => Hz.Length;

    /// <summary>The standard grid with 6, 12 or 24 points an octave (84, 168 or 336 frequencies).</summary>
    /// <exception cref="ArgumentOutOfRangeException">Another density.</exception>
    public static FrequencyGrid Standard(int pointsPerOctave)
    {
        int first = pointsPerOctave switch
        {
            6 => -46,
            12 => -92,
            24 => -184,
            _ => throw new ArgumentOutOfRangeException(nameof(pointsPerOctave), pointsPerOctave, "6, 12 or 24"),
        };
        int count = 14 * pointsPerOctave;
        return new([.. Enumerable.Range(first, count).Select(k => 1000 * Math.Pow(2, (double)k / pointsPerOctave))], pointsPerOctave);
    }

    /// <summary>Stated frequencies, Hz; the last is repeated to fill the lanes.</summary>
    public static FrequencyGrid Of(IReadOnlyList<double> hz)
    {
        int padded = (hz.Count + Lanes - 1) / Lanes * Lanes;
        return new([.. Enumerable.Range(0, padded).Select(k => hz[Math.Min(k, hz.Count - 1)])], 0);
    }

    /// <summary>Index of the grid frequency nearest to <paramref name="hz"/> on log frequency.</summary>
    public int Nearest(double hz)
    {
        int best = 0;
        for (int k = 1; k < Count; k++)
        {
            if (Math.Abs(Math.Log(Hz[k] / hz)) < Math.Abs(Math.Log(Hz[best] / hz)))
            {
                best = k;
            }
        }

        return best;
    }

    /// <summary>Trapezoid weights on log frequency of the grid points inside a band, normalised to a sum of one; zero outside.</summary>
    /// <param name="lowHz">Lower edge, Hz.</param>
    /// <param name="highHz">Upper edge, Hz.</param>
    /// <param name="weight">A further weight over frequency; null for one.</param>
    public double[] BandWeights(double lowHz, double highHz, Func<double, double>? weight = null)
    {
        var weights = new double[Count];
        double sum = 0;
        for (int k = 0; k < Count; k++)
        {
            // A cell reaches half way to each neighbour; what of it lies in the band counts.
            double half = 0.5 / PointsPerOctave;
            double from = Math.Max(Math.Log2(Hz[k]) - half, Math.Log2(lowHz));
            double to = Math.Min(Math.Log2(Hz[k]) + half, Math.Log2(highHz));
            if (to > from && Hz[k] >= lowHz * (1 - 1e-9) && Hz[k] <= highHz * (1 + 1e-9))
            {
                weights[k] = (to - from) * (weight?.Invoke(Hz[k]) ?? 1);
                sum += weights[k];
            }
        }

        for (int k = 0; sum > 0 && k < Count; k++)
        {
            weights[k] /= sum;
        }

        return weights;
    }
}
