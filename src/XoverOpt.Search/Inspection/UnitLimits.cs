namespace XoverOpt.Search;

/// <summary>Limits for the level of a built unit, and for its impedance where there are such.</summary>
/// <param name="Hz">Frequencies, Hz, rising, at least two.</param>
/// <param name="ExpectedDb">Expected level, dB.</param>
/// <param name="LowDb">Lowest level that passes, dB.</param>
/// <param name="HighDb">Highest level that passes, dB.</param>
public sealed record UnitLimits(double[] Hz, double[] ExpectedDb, double[] LowDb, double[] HighDb)
{
    /// <summary>Expected magnitude of the socket impedance, Ω; null where only the level is limited.</summary>
    public double[]? ExpectedOhm { get; init; }

    /// <summary>Lowest impedance that passes, Ω.</summary>
    public double[]? LowOhm { get; init; }

    /// <summary>Highest impedance that passes, Ω.</summary>
    public double[]? HighOhm { get; init; }

    /// <summary>Share of units in order that was meant to measure inside all the limits at once; null where it is not known.</summary>
    public double? Inside { get; init; }

    /// <summary>The lowest and highest level that pass at a frequency, Hz: straight lines on log frequency between the limits' own; null beyond them.</summary>
    public (double Low, double High)? At(double hz) => Between(hz, LowDb, HighDb);

    /// <summary>The lowest and highest impedance that pass at a frequency, Hz, as <see cref="At"/>; null also where none is limited.</summary>
    public (double Low, double High)? OhmAt(double hz) => Between(hz, LowOhm, HighOhm);

    private (double Low, double High)? Between(double hz, double[]? low, double[]? high)
    {
        if (low is null || high is null || hz < Hz[0] * 0.999 || hz > Hz[^1] * 1.001)
        {
            return null;
        }

        int found = Array.FindIndex(Hz, f => f >= hz), above = Math.Max(1, found < 0 ? Hz.Length - 1 : found);
        double t = Math.Clamp(Math.Log(hz / Hz[above - 1]) / Math.Log(Hz[above] / Hz[above - 1]), 0, 1);
        double At(double[] values) => ((1 - t) * values[above - 1]) + (t * values[above]);
        return (At(low), At(high));
    }
}
