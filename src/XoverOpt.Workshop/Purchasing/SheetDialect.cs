using System.Globalization;
using System.Text;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>
/// CSV as spreadsheets open it: where the decimal sign is a point, commas part the cells; where it is a comma, semicolons do. Text is
/// UTF-8 with a byte order mark, lines end as RFC 4180 says, and no cell can run as a formula.
/// </summary>
/// <param name="Separator">Between cells.</param>
/// <param name="Decimal">The decimal sign.</param>
public sealed record SheetDialect(char Separator, char Decimal)
{
    private const char Guard = '\'';

    /// <summary>For a decimal point.</summary>
    public static readonly SheetDialect Point = new(',', '.');

    /// <summary>For a decimal comma.</summary>
    public static readonly SheetDialect Comma = new(';', ',');

    /// <summary>The dialect of a decimal sign's name: "point" or "comma".</summary>
    public static SheetDialect? Named(string? name) => name switch { "point" => Point, "comma" => Comma, _ => null };

    /// <summary>The names that <see cref="Named"/> knows.</summary>
    public static IReadOnlyList<string> Names { get; } = ["point", "comma"];

    /// <summary>A sheet of rows.</summary>
    /// <param name="rows">Cells: text, decimal, int, <see cref="DateOnly"/>, bool, or null for an empty cell.</param>
    public byte[] Write(IEnumerable<IReadOnlyList<object?>> rows)
    {
        var text = new StringBuilder("\uFEFF");
        foreach (IReadOnlyList<object?> row in rows)
        {
            text.AppendJoin(Separator, row.Select(Cell)).Append("\r\n");
        }

        return Encoding.UTF8.GetBytes(text.ToString());
    }

    private string Cell(object? value) => value switch
    {
        null => "",
        decimal number => Number(number),
        int number => number.ToString(CultureInfo.InvariantCulture),
        DateOnly day => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
        bool yes => yes ? "yes" : "no",
        _ => Quoted(Harmless(value.ToString()!)),
    };

    /// <summary>A number as this dialect writes it.</summary>
    public string Number(decimal number) => number.ToString("0.############", CultureInfo.InvariantCulture).Replace('.', Decimal);

    /// <summary>Text as it was before <see cref="Write"/> made it harmless.</summary>
    public static string Meant(string cell) => cell is [Guard, var first, ..] && (first == Guard || IsRisky(first)) ? cell[1..] : cell;

    // A spreadsheet takes text that begins so for a formula, whatever its quotes; an apostrophe before it makes it text (common practice,
    // no source). Text that begins with an apostrophe gets one too, so that the guard can be told from it.
    private static string Harmless(string text) => text.Length > 0 && (text[0] == Guard || IsRisky(text[0])) ? Guard + text : text;

    private static bool IsRisky(char first) => first is '=' or '+' or '-' or '@' or '\t' or '\r' or '\n';

    private string Quoted(string text) =>
        text.Contains(Separator, StringComparison.Ordinal) || text.AsSpan().ContainsAny('"', '\r', '\n') || (text.Length > 0 && (text[0] == ' ' || text[^1] == ' '))
            ? $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\""
            : text;
}
