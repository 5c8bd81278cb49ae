namespace XoverOpt.Search;

/// <summary>Limits for the level of a built unit.</summary>
/// <param name="Hz">Frequencies, Hz, rising, at least two.</param>
/// <param name="ExpectedDb">Expected level, dB.</param>
/// <param name="LowDb">Lowest level that passes, dB.</param>
/// <param name="HighDb">Highest level that passes, dB.</param>
public sealed record UnitLimits(double[] Hz, double[] ExpectedDb, double[] LowDb, double[] HighDb)
{
    /// <summary>The lowest and highest level that pass at a frequency, Hz: straight lines on log frequency between the limits' own; null beyond them.</summary>
    public (double Low, double High)? At(double hz)
    {
        if (hz < Hz[0] * 0.999 || hz > Hz[^1] * 1.001)
        {
            return null;
        }

        int found = Array.FindIndex(Hz, f => f >= hz), above = Math.Max(1, found < 0 ? Hz.Length - 1 : found);
        double t = Math.Clamp(Math.Log(hz / Hz[above - 1]) / Math.Log(Hz[above] / Hz[above - 1]), 0, 1);
        double Between(double[] values) => ((1 - t) * values[above - 1]) + (t * values[above]);
        return (Between(LowDb), Between(HighDb));
    }
}
