using System.Globalization;
using System.Text;
using System.Text.Unicode;

namespace XoverOpt.Workshop;

/// <summary>What tables of numbers as text have in common, whatever they hold.</summary>
internal static class TextTable
{
    /// <summary>The lines of a text.</summary>
    /// <param name="bytes">UTF-8, with or without a byte order mark.</param>
    /// <param name="at">Where faults are said to be.</param>
    /// <returns>The lines without their ends; null after a fault.</returns>
    public static string[]? Lines(ReadOnlySpan<byte> bytes, MeasuredPlace at)
    {
        // UTF-16 of plain letters can pass for UTF-8 full of zeros.
        if (bytes is [0xFF, 0xFE, ..] or [0xFE, 0xFF, ..] || !Utf8.IsValid(bytes) || bytes.Contains((byte)0))
        {
            at.Refuse("bytes that are not UTF-8 text", "a table as UTF-8 text", "Save the file again as text with the encoding UTF-8, separated by commas or semicolons.");
            return null;
        }

        return Encoding.UTF8.GetString(bytes).TrimStart('\uFEFF').ReplaceLineEndings("\n").Split('\n');
    }

    /// <summary>What parts the columns of a heading: a tab where there is one, else a semicolon, else a comma.</summary>
    public static char Separator(string heading) =>
        heading.Contains('\t', StringComparison.Ordinal) ? '\t' : heading.Contains(';', StringComparison.Ordinal) ? ';' : ',';

    /// <summary>What may help where a column is missing: a heading nearly like it that is no other column's.</summary>
    public static string? HeadingHint(string missing, IReadOnlyCollection<string> headings, IReadOnlyCollection<string> columns) =>
        missing == "hz" && headings.Contains("khz", StringComparer.OrdinalIgnoreCase) ? "Multiply the column khz by 1000 and name it hz."
        : Nearest.To(missing, headings.Where(heading => !columns.Contains(heading, StringComparer.OrdinalIgnoreCase))) is { } like ? $"The file has \"{like}\"; name it {missing}." : null;

    /// <summary>A number; its decimals may stand behind a comma where a comma parts no columns.</summary>
    public static bool Number(string cell, out double value) => double.TryParse(cell.Replace(',', '.'), NumberStyles.Float, CultureInfo.InvariantCulture, out value);

    /// <summary>What may help where a line has more columns than the heading.</summary>
    public static string? ColumnsHint(char separator, int found, int wanted) => separator == ',' && found > wanted
        ? "Decimals behind a comma need semicolons or tabs between the columns, in the heading too." : null;
}
