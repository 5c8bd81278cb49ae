namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// The programme-simulation noise of IEC 60268-1 in third-octave bands from 20 Hz to 20 kHz: levels read in an open transcription, the
/// standard itself not opened. Music differs; this is a common yardstick.
/// </summary>
public static class ProgrammeNoise
{
    private static ReadOnlySpan<double> Levels =>
    [
        -13.5, -10.2, -7.4, -5.2, -3.5, -2.3, -1.4, -0.9, -0.5, -0.2, -0.1, 0, 0, 0, 0, 0,
        0, -0.1, -0.3, -0.6, -1, -1.6, -2.5, -3.7, -5.1, -7, -9.4, -11.9, -14.8, -18.2, -21.6,
    ];

    /// <summary>One third-octave band.</summary>
    /// <param name="Hz">Its exact mid-frequency 1000·10^(n/10), Hz (IEC 61260-1).</param>
    /// <param name="LevelDb">Its level as the standard lists it, dB.</param>
    /// <param name="Power">Its share of the whole power.</param>
    public readonly record struct Band(double Hz, double LevelDb, double Power);

    /// <summary>The bands, rising; their powers add up to one.</summary>
    public static IReadOnlyList<Band> Bands { get; } = Make();

    private static Band[] Make()
    {
        double[] levels = [.. Levels];
        double whole = levels.Sum(db => Math.Pow(10, db / 10));
        return [.. levels.Select((db, i) => new Band(1000 * Math.Pow(10, (i - 17) / 10.0), db, Math.Pow(10, db / 10) / whole))];
    }
}
