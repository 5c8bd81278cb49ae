using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads limits for the test bench from comma-separated text: a heading <c>hz,expectedDb,lowDb,highDb</c> (or <c>expected_db</c> and so on) and, where the
/// impedance is limited too, <c>expectedOhm,lowOhm,highOhm</c>, others besides, then a line a frequency. Empty lines and lines that start with # do not count.
/// </summary>
public static class UnitLimitsFile
{
    private static readonly string[] LevelColumns = ["hz", "expectedDb", "lowDb", "highDb"];

    private static readonly string[] OhmColumns = ["expectedOhm", "lowOhm", "highOhm"];

    private static readonly NumberRange Frequency = new(1, 100_000, "Hz");

    private static readonly NumberRange Level = new(-60, 200, "dB");

    private static readonly NumberRange Ohm = new(0.01, 1e6, "Ω");

    /// <summary>Reads a file; every fault at once.</summary>
    public static Reading<UnitLimits> Read(string path)
    {
        FaultList faults = new();
        return JsonSource.ReadBytes(path, faults) is { } bytes ? Read(bytes, path) : new(null, faults.Items);
    }

    /// <summary>Reads text.</summary>
    /// <param name="text">The text, UTF-8.</param>
    /// <param name="name">The name faults bear.</param>
    public static Reading<UnitLimits> Read(ReadOnlySpan<byte> text, string name)
    {
        FaultList faults = new();
        MeasuredPlace at = new(name, "", faults);
        if (TextTable.Lines(text, at) is not { } whole)
        {
            return faults.End<UnitLimits>(null);
        }

        (string Text, int Line)[] content = [.. whole.Select((line, k) => (line.Trim(), k + 1)).Where(line => line.Item1.Length > 0 && line.Item1[0] != '#')];
        char separator = content.Length == 0 ? ',' : TextTable.Separator(content[0].Text);
        (string[] Cells, int Line)[] lines = [.. content.Select(line => (line.Text.Split(separator).Select(cell => cell.Trim().Trim('"')).ToArray(), line.Line))];
        string[] heads = lines.Length == 0 ? [] : [.. lines[0].Cells.Select(head => head.Replace("_", "", StringComparison.Ordinal))];
        int Place(string column) => Array.FindIndex(heads, head => head.Equals(column, StringComparison.OrdinalIgnoreCase));
        bool ohms = OhmColumns.Any(column => Place(column) >= 0);
        string[] columns = ohms ? [.. LevelColumns, .. OhmColumns] : LevelColumns;
        int[] places = [.. columns.Select(Place)];
        foreach (string missing in columns.Where((_, c) => places[c] < 0))
        {
            at.Refuse($"no column {missing}", $"a heading {string.Join(',', columns)}", TextTable.HeadingHint(missing, heads, columns));
        }

        if (faults.Count > 0)
        {
            return faults.End<UnitLimits>(null);
        }

        List<double[]> rows = [];
        foreach ((string[] cells, int line) in lines.Skip(1))
        {
            if (cells.Length != heads.Length)
            {
                at.Refuse($"{cells.Length} columns in line {line}", $"{heads.Length}, as the heading", TextTable.ColumnsHint(separator, cells.Length, heads.Length));
                continue;
            }

            int before = faults.Count;
            double[] row = new double[columns.Length];
            for (int c = 0; c < columns.Length; c++)
            {
                NumberRange range = c == 0 ? Frequency : c < LevelColumns.Length ? Level : Ohm;
                if (!TextTable.Number(cells[places[c]], out row[c]) || !range.Holds(row[c]))
                {
                    at.RefuseCell(cells[places[c]], line, places[c] + 1, columns[c], range.ToString(), c == 0 && row[c] is > 0 and < 20 ? "This looks like kHz; the column is in Hz." : null);
                }
            }

            for (int low = 2; low < row.Length && faults.Count == before; low += 3)
            {
                if (row[low] > row[low + 1])
                {
                    at.Refuse(FormattableString.Invariant($"{columns[low]} {row[low]} above {columns[low + 1]} {row[low + 1]} in line {line}"), $"{columns[low]} at most {columns[low + 1]}");
                }
            }

            if (faults.Count == before && rows.Count > 0 && !CurveFile.Rises(rows[^1][0], row[0]))
            {
                at.RefuseCell(cells[places[0]], line, places[0] + 1, columns[0], FormattableString.Invariant($"a frequency above {rows[^1][0]} Hz, that of the line before"));
            }
            else if (faults.Count == before)
            {
                rows.Add(row);
            }
        }

        if (faults.Count == 0 && rows.Count < 2)
        {
            at.Refuse($"{rows.Count} lines of numbers", "at least two");
        }

        double[] Column(int c) => [.. rows.Select(row => row[c])];
        return faults.End(new UnitLimits(Column(0), Column(1), Column(2), Column(3))
        {
            ExpectedOhm = ohms ? Column(4) : null,
            LowOhm = ohms ? Column(5) : null,
            HighOhm = ohms ? Column(6) : null,
        });
    }
}
