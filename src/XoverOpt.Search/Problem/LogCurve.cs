using MathNet.Numerics.Interpolation;

namespace XoverOpt.Search;

/// <summary>
/// A curve through points on log frequency that keeps their shape: monotone between neighbours, never overshooting
/// (piecewise cubic Hermite, Fritsch and Carlson 1980), and level beyond the first and last point.
/// </summary>
public sealed class LogCurve
{
    private readonly double[] _octaves;
    private readonly double[] _values;
    private readonly IInterpolation? _spline;

    /// <param name="hz">Frequencies, rising, > 0.</param>
    /// <param name="values">Value at each frequency.</param>
    /// <exception cref="ArgumentException">No points, unequal lengths, or frequencies that do not rise.</exception>
    public LogCurve(IReadOnlyList<double> hz, IReadOnlyList<double> values)
    {
        if (hz.Count == 0 || hz.Count != values.Count || hz.Zip(hz.Skip(1)).Any(pair => pair.First >= pair.Second))
        {
            throw new ArgumentException("A curve needs at least one point, one value a point, and rising frequencies.", nameof(hz));
        }

        Hz = [.. hz];
        Values = [.. values];
        _octaves = [.. hz.Select(Math.Log2)];
        _values = [.. values];
        _spline = hz.Count switch
        {
            1 => null,
            2 => LinearSpline.InterpolateSorted(_octaves, _values),
            _ => CubicSpline.InterpolatePchipSorted(_octaves, _values),
        };
    }

    /// <summary>Frequencies of the points, Hz.</summary>
    public IReadOnlyList<double> Hz { get; }

    /// <summary>Values at the points.</summary>
    public IReadOnlyList<double> Values { get; }

    /// <summary>A curve that has one value everywhere.</summary>
    public static LogCurve Flat(double value) => new([1000], [value]);

    /// <summary>The value at a frequency, Hz.</summary>
    public double At(double hz)
    {
        double octave = Math.Log2(hz);
        return octave <= _octaves[0] ? _values[0]
            : octave >= _octaves[^1] ? _values[^1]
            : _spline!.Interpolate(octave);
    }
}
