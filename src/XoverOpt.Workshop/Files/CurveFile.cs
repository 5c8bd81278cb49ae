using System.Globalization;
using System.Text;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads a curve from comma-separated text: Hz, dB and, if wished, a weight, a line each. A first line of headings, empty lines and
/// lines that start with # are passed over. Numbers have a decimal point whatever the machine's culture; semicolons or tabs may part
/// the columns as well.
/// </summary>
internal static class CurveFile
{
    private const int MostLines = 10_000;

    /// <summary>Reads a file.</summary>
    /// <returns>The curve and its weights (null when there is no third column); null after a fault.</returns>
    public static (LogCurve Curve, LogCurve? Weights)? Read(string path, string shown, FaultList faults)
    {
        if (JsonSource.ReadBytes(path, faults, shown) is not { } bytes)
        {
            return null;
        }

        int before = faults.Count;
        List<double[]> rows = [];
        string[] lines = Encoding.UTF8.GetString(bytes).TrimStart('\uFEFF').Split('\n');
        bool headed = false;
        for (int k = 0; k < lines.Length && rows.Count < MostLines; k++)
        {
            string line = lines[k].Trim();
            if (line.Length == 0 || line[0] == '#')
            {
                continue;
            }

            string[] cells = line.Split([',', ';', '\t']);
            if (rows.Count == 0 && !headed && !double.TryParse(cells[0], NumberStyles.Float, CultureInfo.InvariantCulture, out _))
            {
                headed = true;
                continue;
            }

            if (ReadRow(cells) is not { } row)
            {
                Refuse(k, line, "frequency from 1 to 100000 Hz, level from -200 to 200 dB and, if wished, weight from 0 to 1000");
            }
            else if (rows.Count > 0 && !Rises(rows[^1][0], row[0]))
            {
                Refuse(k, line, FormattableString.Invariant($"a frequency above {rows[^1][0]} Hz, that of the line before"));
            }
            else if (rows.Count > 0 && row.Length != rows[0].Length)
            {
                Refuse(k, line, $"{rows[0].Length} columns, as in the lines before");
            }
            else
            {
                rows.Add(row);
            }
        }

        if (faults.Count == before && (rows.Count is 0 or MostLines))
        {
            string found = rows.Count == 0 ? "no line of numbers" : "too many lines";
            faults.Add(new Fault(shown, "", found, $"1 to {MostLines - 1} lines of Hz, dB and, if wished, weight"));
        }

        if (faults.Count > before)
        {
            return null;
        }

        double[] hz = [.. rows.Select(row => row[0])];
        return (new LogCurve(hz, [.. rows.Select(row => row[1])]), rows[0].Length < 3 ? null : new LogCurve(hz, [.. rows.Select(row => row[2])]));

        void Refuse(int index, string line, string allowed) =>
            faults.Add(new Fault(shown, "", $"in line {index + 1} \"{(line.Length > 60 ? line[..60] + "…" : line)}\"", allowed));
    }

    /// <summary>Whether a frequency is above the one before, by enough to differ on log frequency.</summary>
    public static bool Rises(double before, double hz) => hz > before * 1.000_001;

    private static double[]? ReadRow(string[] cells)
    {
        if (cells.Length is not (2 or 3))
        {
            return null;
        }

        double[] row = new double[cells.Length];
        for (int k = 0; k < row.Length; k++)
        {
            NumberRange range = k switch { 0 => new(1, 100_000), 1 => new(-200, 200), _ => new(0, 1000) };
            if (!double.TryParse(cells[k], NumberStyles.Float, CultureInfo.InvariantCulture, out row[k]) || !range.Holds(row[k]))
            {
                return null;
            }
        }

        return row;
    }
}
