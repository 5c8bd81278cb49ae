using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads measured receivers from comma-separated text (semicolons or tabs part columns as well): a first line of headings, then a receiver a
/// line. <c>serial</c>, <c>part_number</c>, <c>sensitivity_db</c>, <c>resonance_hz</c> and <c>dc_resistance_ohm</c> must be there, in any order; other
/// columns are passed over. Units stand in the headings. Empty lines and lines that start with # do not count.
/// </summary>
public static class SerialsFile
{
    /// <summary>Most receivers of a file.</summary>
    public const int MostReceivers = 2000;

    private static readonly string[] Columns = ["serial", "part_number", "sensitivity_db", "resonance_hz", "dc_resistance_ohm"];

    private static readonly NumberRange[] Ranges = [new(-200, 200, "dB"), new(20, 50_000, "Hz"), NumberRange.Positive(100_000, "Ω")];

    /// <summary>Reads a file.</summary>
    public static Reading<IReadOnlyList<MeasuredReceiver>> Read(string path)
    {
        FaultList faults = new();
        return JsonSource.ReadBytes(path, faults) is { } bytes ? Read(bytes, path) : new(null, faults.Items);
    }

    /// <summary>Reads text.</summary>
    /// <param name="text">The text, UTF-8.</param>
    /// <param name="name">The name faults bear.</param>
    public static Reading<IReadOnlyList<MeasuredReceiver>> Read(ReadOnlySpan<byte> text, string name)
    {
        FaultList faults = new();
        if (TextTable.Lines(text, new(name, "", faults)) is not { } lines)
        {
            return faults.End<IReadOnlyList<MeasuredReceiver>>(null);
        }

        int first = Array.FindIndex(lines, IsContent);
        if (first < 0)
        {
            faults.Add(new(name, "", "no line", $"a line of headings ({string.Join(", ", Columns)}), then a receiver a line"));
            return faults.End<IReadOnlyList<MeasuredReceiver>>(null);
        }

        char parting = TextTable.Separator(lines[first]);
        string[] heads = [.. Cells(lines[first])];
        int[] places = [.. Columns.Select(column => Array.FindIndex(heads, head => head.Equals(column, StringComparison.OrdinalIgnoreCase)))];
        for (int c = 0; c < Columns.Length; c++)
        {
            if (places[c] < 0)
            {
                faults.Add(new(name, $"line {first + 1}", $"no column {Columns[c]}", string.Join(", ", Columns) + ", and others besides", Like(Columns[c])));
            }
            else if (heads.Count(head => head.Equals(Columns[c], StringComparison.OrdinalIgnoreCase)) > 1)
            {
                faults.Add(new(name, $"line {first + 1}", $"column {Columns[c]} twice", "it once"));
            }
        }

        if (faults.Count > 0)
        {
            return faults.End<IReadOnlyList<MeasuredReceiver>>(null);
        }

        List<MeasuredReceiver> receivers = [];
        Dictionary<string, int> seen = [];
        for (int k = first + 1; k < lines.Length; k++)
        {
            if (IsContent(lines[k]))
            {
                Row(k);
            }
        }

        if (faults.Count == 0 && receivers.Count is 0 or > MostReceivers)
        {
            faults.Add(new(name, "", $"{receivers.Count} receivers", $"1 to {MostReceivers}"));
        }

        return faults.End<IReadOnlyList<MeasuredReceiver>>(receivers);

        void Row(int k)
        {
            string[] cells = [.. Cells(lines[k])];
            if (cells.Length != heads.Length)
            {
                faults.Add(new(name, $"line {k + 1}", $"{cells.Length} columns", $"{heads.Length}, as the headings", TextTable.ColumnsHint(parting, cells.Length, heads.Length)));
                return;
            }

            int before = faults.Count;
            for (int c = 0; c < 2; c++)
            {
                if (cells[places[c]] is { Length: 0 or > 100 })
                {
                    Refuse(k, c, cells[places[c]].Length == 0 ? "nothing" : "more than 100 letters", "1 to 100 letters");
                }
            }

            double[] values = new double[3];
            for (int c = 0; c < 3; c++)
            {
                string cell = cells[places[c + 2]];
                if (!TextTable.Number(cell, out values[c]))
                {
                    Refuse(k, c + 2, cell.Length == 0 ? "nothing" : $"\"{(cell.Length > 40 ? cell[..40] + "…" : cell)}\"", Ranges[c].ToString());
                }
                else if (!Ranges[c].Holds(values[c]))
                {
                    string? hint = c == 1 && values[c] is > 0 and < 20 ? "This looks like kHz; the column is in Hz." : null;
                    Refuse(k, c + 2, cell, Ranges[c].ToString(), hint);
                }
            }

            if (!seen.TryAdd(cells[places[0]], k + 1) && cells[places[0]].Length > 0)
            {
                Refuse(k, 0, $"\"{cells[places[0]]}\" again, after line {seen[cells[places[0]]]}", "each serial number once");
            }

            if (faults.Count == before)
            {
                receivers.Add(new(cells[places[0]], cells[places[1]], values[0], values[1], values[2]));
            }
        }

        void Refuse(int line, int column, string found, string allowed, string? hint = null) =>
            faults.Add(new(name, $"line {line + 1}, column {places[column] + 1} ({Columns[column]})", found, allowed, hint));

        IEnumerable<string> Cells(string line) => line.Split(parting).Select(cell => cell.Trim().Trim('"'));

        // A heading of the same quantity in another unit is the likeliest slip.
        string? Like(string column)
        {
            string quantity = column[..(column.LastIndexOf('_') is > 0 and var at ? at : column.Length)];
            return heads.FirstOrDefault(head => head.StartsWith(quantity, StringComparison.OrdinalIgnoreCase)) is { } other
                ? $"The file has \"{other}\"; convert it and name it {column}."
                : TextTable.HeadingHint(column, heads, Columns);
        }
    }

    private static bool IsContent(string line) => line.Trim() is { Length: > 0 } text && text[0] != '#';
}
