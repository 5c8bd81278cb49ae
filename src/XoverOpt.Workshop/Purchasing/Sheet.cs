using System.Text;
using System.Text.Unicode;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>CSV as a spreadsheet saves it (RFC 4180, cells parted by commas, semicolons or tabs), read into rows.</summary>
/// <param name="Separator">What parts its cells.</param>
/// <param name="Rows">The rows that are not empty.</param>
public sealed record Sheet(char Separator, IReadOnlyList<SheetRow> Rows)
{
    /// <summary>Most rows.</summary>
    public const int MostRows = 50_000;

    /// <summary>Reads a sheet. The first row decides what parts the cells.</summary>
    /// <param name="bytes">The text, UTF-8 with or without a byte order mark.</param>
    /// <param name="name">The name faults bear.</param>
    /// <param name="faults">Takes what is wrong.</param>
    /// <returns>The sheet; null after a fault.</returns>
    public static Sheet? Read(ReadOnlySpan<byte> bytes, string name, FaultList faults)
    {
        const string Allowed = "CSV text in UTF-8";
        if (bytes.Length > JsonSource.MostBytes)
        {
            faults.Add(new(name, "", $"{bytes.Length} bytes", $"at most {JsonSource.MostBytes} bytes (8 MB)"));
            return null;
        }

        if (bytes is [0xFF, 0xFE, ..] or [0xFE, 0xFF, ..])
        {
            faults.Add(new(name, "", "text in UTF-16", Allowed, "Save the sheet again as \"CSV UTF-8\"."));
            return null;
        }

        if (!Utf8.IsValid(bytes))
        {
            faults.Add(new(name, "", "bytes that are not UTF-8", Allowed, "Save the sheet again as \"CSV UTF-8\"; an older encoding spoils letters such as Ω and µ."));
            return null;
        }

        if (bytes.Contains((byte)0))
        {
            faults.Add(new(name, "", "zero bytes", Allowed, "This is no text; save the sheet as CSV."));
            return null;
        }

        string text = Encoding.UTF8.GetString(bytes).TrimStart('\uFEFF');
        string first = text.Split('\n', 2)[0];
        char separator = ",;\t".MaxBy(mark => first.Count(letter => letter == mark));
        List<SheetRow> rows = [];
        int at = 0, line = 1;
        while (at < text.Length)
        {
            SheetRow row = Row(text, separator, ref at, ref line, name, faults);
            if (row.Cells.Any(cell => !string.IsNullOrWhiteSpace(cell)))
            {
                rows.Add(row);
            }

            if (rows.Count > MostRows)
            {
                faults.Add(new(name, $"line {row.Line}", "more rows", $"at most {MostRows} rows"));
                return null;
            }
        }

        return faults.Count == 0 ? new(separator, rows) : null;
    }

    private static SheetRow Row(string text, char separator, ref int at, ref int line, string name, FaultList faults)
    {
        int began = line;
        List<string> cells = [];
        while (true)
        {
            StringBuilder cell = new();
            if (at < text.Length && text[at] == '"')
            {
                at++;
                bool closed = false;
                while (at < text.Length && !closed)
                {
                    if (text[at] != '"')
                    {
                        line += text[at] == '\n' ? 1 : 0;
                        cell.Append(text[at++]);
                    }
                    else if (at + 1 < text.Length && text[at + 1] == '"')
                    {
                        cell.Append('"');
                        at += 2;
                    }
                    else
                    {
                        closed = true;
                        at++;
                    }
                }

                if (!closed)
                {
                    faults.Add(new(name, $"line {began}, column {cells.Count + 1}", "a quotation mark that is never closed", "quotation marks in pairs"));
                }
                else if (at < text.Length && text[at] != separator && text[at] is not ('\r' or '\n'))
                {
                    faults.Add(new(name, $"line {line}, column {cells.Count + 1}", "letters after the closing quotation mark", "a cell that is quoted as a whole, quotation marks within it doubled"));
                }
            }

            while (at < text.Length && text[at] != separator && text[at] != '\n')
            {
                cell.Append(text[at++]);
            }

            bool ends = at >= text.Length || text[at] == '\n';
            cells.Add(ends && cell.Length > 0 && cell[^1] == '\r' ? cell.ToString(0, cell.Length - 1) : cell.ToString());
            at++;
            if (ends)
            {
                line++;
                return new(began, cells);
            }
        }
    }
}

/// <summary>A row of a sheet.</summary>
/// <param name="Line">The line it begins in, 1 for the first.</param>
/// <param name="Cells">Its cells as they stand.</param>
public sealed record SheetRow(int Line, IReadOnlyList<string> Cells);
