namespace XoverOpt.Acoustics.Kernel;

/// <summary>|z|, ln|z| and arg z of complex arrays, vectorised.</summary>
public static class PolarForm
{
    /// <summary>Fills ln|z| and arg z (principal value, radians).</summary>
    public static void Of(ReadOnlySpan<double> re, ReadOnlySpan<double> im, Span<double> logMagnitude, Span<double> phase) =>
        Of(re, im, logMagnitude, phase, [], 0, re.Length);

    /// <summary>
    /// Fills ln|z| everywhere; arg z (principal value, radians) and |z| at [<paramref name="from"/>, <paramref name="to"/>) and as far beside
    /// it as whole eights reach.
    /// </summary>
    /// <param name="re">Real part.</param>
    /// <param name="im">Imaginary part.</param>
    /// <param name="logMagnitude">Takes ln|z|.</param>
    /// <param name="phase">Takes arg z.</param>
    /// <param name="magnitude">Takes |z|; empty where it is not asked for.</param>
    /// <param name="from">First number of the band.</param>
    /// <param name="to">One past the last.</param>
    public static void Of(
        ReadOnlySpan<double> re, ReadOnlySpan<double> im, Span<double> logMagnitude, Span<double> phase, Span<double> magnitude, int from, int to)
    {
        Check(re.Length, im.Length, Math.Min(logMagnitude.Length, phase.Length));
        Check(re.Length, im.Length, magnitude.IsEmpty ? re.Length : magnitude.Length);
        if (LaneWidth.IsEight(re.Length))
        {
            Eight.PolarLanes.Of(re, im, logMagnitude, phase, magnitude, from, to);
        }
        else
        {
            Four.PolarLanes.Of(re, im, logMagnitude, phase, magnitude, from, to);
        }
    }

    /// <summary>Fills |z| at [<paramref name="from"/>, <paramref name="to"/>) and as far beside it as whole lanes reach.</summary>
    public static void Magnitudes(ReadOnlySpan<double> re, ReadOnlySpan<double> im, Span<double> magnitude, int from, int to)
    {
        Check(re.Length, im.Length, magnitude.Length);
        if (LaneWidth.IsEight(re.Length))
        {
            Eight.PolarLanes.Magnitudes(re, im, magnitude, from, to);
        }
        else
        {
            Four.PolarLanes.Magnitudes(re, im, magnitude, from, to);
        }
    }

    private static void Check(int length, int second, int third)
    {
        if (length < FrequencyGrid.Lanes || second < length || third < length)
        {
            throw new ArgumentException("Lengths differ, or are shorter than the lanes.", nameof(length));
        }
    }
}
