using System.Globalization;
using System.Text;
using System.Text.Unicode;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads limits for the test bench from comma-separated text: a heading <c>hz,expectedDb,lowDb,highDb</c> (or <c>expected_db</c> and so on), others besides,
/// then a line a frequency. Empty lines and lines that start with # do not count.
/// </summary>
public static class UnitLimitsFile
{
    private static readonly string[] Columns = ["hz", "expectedDb", "lowDb", "highDb"];

    private static readonly NumberRange Frequency = new(1, 100_000, "Hz");

    private static readonly NumberRange Level = new(-60, 200, "dB");

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
        if (!Utf8.IsValid(text))
        {
            at.Refuse("bytes that are not UTF-8", "text in UTF-8", "Save the file again with the encoding UTF-8.");
            return faults.End<UnitLimits>(null);
        }

        (string[] Cells, int Line)[] lines = [.. Encoding.UTF8.GetString(text).TrimStart('\uFEFF').Split('\n')
            .Select((line, k) => (line.Trim(), k + 1))
            .Where(line => line.Item1.Length > 0 && line.Item1[0] != '#')
            .Select(line => (line.Item1.Split([',', ';', '\t'], StringSplitOptions.TrimEntries), line.Item2))];
        string[] heads = lines.Length == 0 ? [] : [.. lines[0].Cells.Select(head => head.Replace("_", "", StringComparison.Ordinal))];
        int[] places = [.. Columns.Select(column => Array.FindIndex(heads, head => head.Equals(column, StringComparison.OrdinalIgnoreCase)))];
        foreach (string missing in Columns.Where((_, c) => places[c] < 0))
        {
            at.Refuse($"no column {missing}", "a heading hz,expectedDb,lowDb,highDb", Nearest.Hint(missing, heads));
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
                at.Refuse($"{cells.Length} columns in line {line}", $"{heads.Length}, as the heading");
                continue;
            }

            int before = faults.Count;
            double[] row = new double[Columns.Length];
            for (int c = 0; c < Columns.Length; c++)
            {
                NumberRange range = c == 0 ? Frequency : Level;
                if (!double.TryParse(cells[places[c]], NumberStyles.Float, CultureInfo.InvariantCulture, out row[c]) || !range.Holds(row[c]))
                {
                    at.RefuseCell(cells[places[c]], line, places[c] + 1, Columns[c], range.ToString());
                }
            }

            if (faults.Count == before && row[2] > row[3])
            {
                at.Refuse(FormattableString.Invariant($"lowDb {row[2]} above highDb {row[3]} in line {line}"), "lowDb at most highDb");
            }
            else if (faults.Count == before && rows.Count > 0 && !CurveFile.Rises(rows[^1][0], row[0]))
            {
                at.RefuseCell(cells[places[0]], line, places[0] + 1, Columns[0], FormattableString.Invariant($"a frequency above {rows[^1][0]} Hz, that of the line before"));
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
        return faults.End(new UnitLimits(Column(0), Column(1), Column(2), Column(3)));
    }
}
