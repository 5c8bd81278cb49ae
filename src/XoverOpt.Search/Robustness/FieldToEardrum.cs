namespace XoverOpt.Search;

/// <summary>The sound field that an eardrum level is referred to.</summary>
public enum SoundField
{
    /// <summary>Sound from all sides alike.</summary>
    Diffuse,

    /// <summary>A plane wave from the front.</summary>
    Free,
}

/// <summary>
/// How much louder it is at the eardrum of an open ear than in the field it stands in: exposure rules are about the field. Free field from the
/// front and diffuse field as tabulated for ANSI S3.4-2007 (loudness of steady sounds) and as used by B. C. J. Moore, B. R. Glasberg,
/// A. Varathanathan and J. Schlittenlacher, Trends in Hearing 20 (2016); the numbers read in an open library's transcription (tests/data/exposure), the
/// standard itself not opened. From 20 Hz to 16 kHz; level beyond.
/// </summary>
public static class FieldToEardrum
{
    private static readonly double[] _hz =
    [
        20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 750, 800, 1000, 1250, 1500, 1600, 2000, 2500, 3000, 3150,
        4000, 5000, 6000, 6300, 8000, 9000, 10000, 11200, 12500, 14000, 15000, 16000,
    ];

    private static readonly LogCurve _free = new(_hz,
    [
        0, 0, 0, 0, 0, 0, 0, 0, 0.1, 0.3, 0.5, 0.9, 1.4, 1.6, 1.7, 2.5, 2.7, 2.6, 2.6, 3.2, 5.2, 6.6, 12, 16.8, 15.3, 15.2,
        14.2, 10.7, 7.1, 6.4, 1.8, -0.9, -1.6, 1.9, 4.9, 2, -2, 2.5,
    ]);

    private static readonly LogCurve _diffuse = new(_hz,
    [
        0, 0, 0, 0, 0, 0, 0, 0, 0.1, 0.3, 0.4, 0.5, 1, 1.6, 1.7, 2.2, 2.7, 2.9, 3.8, 5.3, 6.8, 7.2, 10.2, 14.9, 14.5, 14.4,
        12.7, 10.8, 8.9, 8.7, 8.5, 6.2, 5, 4.5, 4, 3.3, 2.6, 2,
    ]);

    /// <summary>Eardrum level less field level, dB.</summary>
    public static double Db(SoundField field, double hz) => (field == SoundField.Diffuse ? _diffuse : _free).At(hz);
}
