namespace XoverOpt.Acoustics.Kernel;

/// <summary>|z|, ln|z| and arg z of complex arrays, vectorised.</summary>
public static class PolarForm
{
    /// <summary>Fills ln|z| and arg z (principal value, radians).</summary>
    public static void Of(ReadOnlySpan<double> re, ReadOnlySpan<double> im, Span<double> logMagnitude, Span<double> phase)
    {
        Logs(re, im, logMagnitude);
        Phases(re, im, phase, 0, re.Length);
    }

    /// <summary>Fills ln|z|.</summary>
    public static void Logs(ReadOnlySpan<double> re, ReadOnlySpan<double> im, Span<double> logMagnitude)
    {
        Check(re.Length, im.Length, logMagnitude.Length);
        if (LaneWidth.IsEight(re.Length))
        {
            Eight.PolarLanes.Logs(re, im, logMagnitude);
        }
        else
        {
            Four.PolarLanes.Logs(re, im, logMagnitude);
        }
    }

    /// <summary>Fills arg z, radians, at [<paramref name="from"/>, <paramref name="to"/>) and as far beside it as whole lanes reach.</summary>
    public static void Phases(ReadOnlySpan<double> re, ReadOnlySpan<double> im, Span<double> phase, int from, int to)
    {
        Check(re.Length, im.Length, phase.Length);
        if (LaneWidth.IsEight(re.Length))
        {
            Eight.PolarLanes.Phases(re, im, phase, from, to);
        }
        else
        {
            Four.PolarLanes.Phases(re, im, phase, from, to);
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
