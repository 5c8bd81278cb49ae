namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// How wide text can come out in a sans-serif face that is not known beforehand. The widths of ASCII are the larger of DejaVu Sans and Liberation Sans
/// (read from the fonts' advance tables, in hundredths of the font size); any other character counts as wide as the widest, so that a label
/// laid out by them is never narrower on paper.
/// </summary>
internal static class TextWidth
{
    /// <summary>Of a character that is in no table, in sizes of the font.</summary>
    public const double Other = 1.1;

    private const char First = ' ';

    private static readonly byte[] Regular =
    [
        32, 41, 46, 84, 64, 96, 78, 28, 40, 40, 50, 84, 32, 37, 32, 34, 64, 64, 64, 64, 64, 64, 64, 64, 64, 64, 34, 34, 84, 84, 84, 56,
        102, 69, 69, 73, 78, 67, 62, 78, 76, 30, 50, 67, 56, 87, 75, 79, 67, 79, 73, 67, 62, 74, 69, 99, 69, 67, 69, 40, 34, 40, 84, 56,
        50, 62, 64, 55, 64, 62, 36, 64, 64, 28, 28, 58, 28, 98, 64, 62, 64, 64, 42, 53, 40, 64, 60, 82, 60, 60, 53, 64, 34, 64, 84,
    ];

    private static readonly byte[] Bold =
    [
        35, 46, 53, 84, 70, 101, 88, 31, 46, 46, 53, 84, 38, 42, 38, 37, 70, 70, 70, 70, 70, 70, 70, 70, 70, 70, 40, 40, 84, 84, 84, 62,
        102, 78, 77, 74, 84, 69, 69, 83, 84, 38, 56, 78, 64, 100, 84, 86, 74, 86, 78, 73, 69, 82, 78, 111, 78, 73, 73, 46, 37, 46, 84, 56,
        50, 68, 72, 60, 72, 68, 44, 72, 72, 35, 35, 67, 35, 105, 72, 69, 72, 72, 50, 60, 48, 72, 66, 93, 65, 66, 59, 72, 37, 72, 84,
    ];

    /// <summary>The most a line of text takes, in the unit of its size.</summary>
    public static double Of(string text, double size, bool bold = false) => size * text.Sum(letter => Of(letter, bold));

    /// <summary>The text itself, or as much of its beginning as fits, closed by an ellipsis.</summary>
    public static string Fit(string text, double size, double room, bool bold = false)
    {
        if (Of(text, size, bold) <= room)
        {
            return text;
        }

        int kept = text.Length;
        while (kept > 0 && Of(text[..kept], size, bold) + (Other * size) > room)
        {
            kept--;
        }

        // Half of a character outside the basic plane is none.
        kept = kept > 0 && char.IsHighSurrogate(text[kept - 1]) ? kept - 1 : kept;
        return text[..kept].TrimEnd() + "…";
    }

    private static double Of(char letter, bool bold)
    {
        int at = letter - First;
        return at >= 0 && at < Regular.Length ? (bold ? Bold : Regular)[at] / 100.0 : Other;
    }
}
