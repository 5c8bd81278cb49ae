using System.Globalization;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads a measured curve from text: a heading that names the columns and so their units (<see cref="MeasuredColumn"/>), then a line a
/// frequency. Tabs, semicolons or commas part the columns; with tabs or semicolons the decimals may stand behind a comma. Lines that start with #, % or * and
/// empty lines are passed over.
/// </summary>
internal static class MeasuredCsv
{
    private const int MostLines = 50_000;

    /// <summary>Reads the text.</summary>
    /// <param name="bytes">UTF-8, with or without a byte order mark.</param>
    /// <param name="at">Where faults are said to be.</param>
    /// <param name="name">Name of the curve.</param>
    /// <param name="trustUnits">Take the units as the heading says, however unlikely the numbers.</param>
    /// <returns>The curve; null after a fault.</returns>
    public static MeasuredCurve? Read(ReadOnlySpan<byte> bytes, MeasuredPlace at, string name, bool trustUnits)
    {
        int before = at.Faults.Count;
        if (TextTable.Lines(bytes, at) is not { } lines)
        {
            return null;
        }

        int heading = Array.FindIndex(lines, line => !IsPassedOver(line));
        if (heading < 0)
        {
            at.Refuse("no line of numbers", $"a heading such as hz,spl_db,phase_deg and a line a frequency");
            return null;
        }

        char separator = TextTable.Separator(lines[heading]);
        MeasuredColumn?[] columns = Heading(lines[heading].Split(separator), heading + 1, at);
        if (at.Faults.Count > before)
        {
            return null;
        }

        Rows rows = new(columns!, separator, at);
        for (int k = heading + 1; k < lines.Length; k++)
        {
            if (IsPassedOver(lines[k]))
            {
                continue;
            }

            if (rows.Count == MostLines)
            {
                at.Refuse($"more than {MostLines} lines", $"at most {MostLines} lines of numbers", "Thin the curve out: 24 points an octave show all there is.");
                return null;
            }

            rows.Add(lines[k].Split(separator), k + 1);
        }

        if (rows.Count < 2 && at.Faults.Count == before)
        {
            at.Refuse($"{rows.Count} lines of numbers", "at least two lines of numbers under the heading");
        }

        MeasuredCurve curve = rows.Finish(name, trustUnits);
        return at.Faults.Count == before ? curve : null;
    }

    private static bool IsPassedOver(string line) => line.AsSpan().Trim() is var text && (text.Length == 0 || text[0] is '#' or '%' or '*');

    private static MeasuredColumn?[] Heading(string[] cells, int line, MeasuredPlace at)
    {
        string[] names = [.. cells.Select(cell => cell.Trim().Trim('"').Trim().ToLowerInvariant())];
        if (names.All(cell => double.TryParse(cell.Replace(',', '.'), NumberStyles.Float, CultureInfo.InvariantCulture, out _)))
        {
            at.Refuse(
                $"numbers in line {line} where the heading belongs",
                $"a first line that names the columns, out of {MeasuredColumn.Names}",
                "Without a heading the units would be a guess.");
            return [];
        }

        var columns = new MeasuredColumn?[names.Length];
        for (int k = 0; k < names.Length; k++)
        {
            columns[k] = MeasuredColumn.All.FirstOrDefault(column => column.Name == names[k]);
            if (columns[k] is null)
            {
                at.RefuseCell(names[k], line, k + 1, null, $"a column out of {MeasuredColumn.Names}", MeasuredColumn.Hint(names[k]));
            }
            else if (Array.IndexOf(names, names[k]) < k)
            {
                at.RefuseCell(names[k], line, k + 1, null, "each column once");
            }
        }

        bool Has(string column) => Array.IndexOf(names, column) >= 0;
        if (columns.Contains(null))
        {
            return columns;
        }

        if (!Has(MeasuredColumn.Hz))
        {
            at.Refuse($"no column hz in line {line}", "a column hz with the frequencies in Hz");
        }

        if (Has(MeasuredColumn.Db) && Has(MeasuredColumn.SplDb))
        {
            at.Refuse($"both db and spl_db in line {line}", "one column of level");
        }

        bool level = Has(MeasuredColumn.Db) || Has(MeasuredColumn.SplDb);
        if (!level && !Has(MeasuredColumn.ImpedanceOhm))
        {
            at.Refuse($"neither a level nor an impedance in line {line}", "a column db, spl_db or impedance_ohm");
        }

        if (Has(MeasuredColumn.PhaseDeg) && !level)
        {
            at.Refuse($"phase_deg without a level in line {line}", "phase_deg beside db or spl_db", "The phase of an impedance is impedance_phase_deg.");
        }

        if (Has(MeasuredColumn.ImpedancePhaseDeg) && !Has(MeasuredColumn.ImpedanceOhm))
        {
            at.Refuse($"impedance_phase_deg without a magnitude in line {line}", "impedance_phase_deg beside impedance_ohm");
        }

        return columns;
    }

    /// <summary>The lines of numbers as they come in.</summary>
    private sealed class Rows(MeasuredColumn[] columns, char separator, MeasuredPlace at)
    {
        private readonly List<double>[] _values = [.. columns.Select(_ => new List<double>())];
        private readonly List<int> _lines = [];
        private int _commaLine;
        private int _pointLine;

        public int Count => _lines.Count;

        public void Add(string[] cells, int line)
        {
            if (cells.Length != columns.Length)
            {
                at.Refuse($"{cells.Length} columns in line {line}", $"{columns.Length} columns as in the heading", TextTable.ColumnsHint(separator, cells.Length, columns.Length));
                return;
            }

            _lines.Add(line);
            for (int k = 0; k < cells.Length; k++)
            {
                _values[k].Add(Number(cells[k].Trim().Trim('"').Trim(), line, k));
            }
        }

        /// <summary>Checks units, ranges and order, and makes the curve.</summary>
        public MeasuredCurve Finish(string name, bool trustUnits)
        {
            double[]? Of(string column) => Array.FindIndex(columns, c => c.Name == column) is >= 0 and var k ? [.. _values[k]] : null;
            MeasuredCurve curve = new()
            {
                Name = name,
                Hz = Of(MeasuredColumn.Hz)!,
                LevelDb = Of(MeasuredColumn.SplDb) ?? Of(MeasuredColumn.Db),
                IsSpl = Of(MeasuredColumn.SplDb) is not null,
                PhaseDeg = Of(MeasuredColumn.PhaseDeg),
                ImpedanceOhm = Of(MeasuredColumn.ImpedanceOhm),
                ImpedancePhaseDeg = Of(MeasuredColumn.ImpedancePhaseDeg),
            };

            // A unit that is wrong puts every number out of its range: said once instead of a line at a time.
            HashSet<string> suspected = [];
            foreach (UnitDoubt doubt in trustUnits || _values.Any(column => column.Any(double.IsNaN)) ? [] : MeasuredUnits.Doubts(curve))
            {
                suspected.Add(doubt.Column);
                at.Refuse($"{doubt.Evidence} in column {doubt.Column}", doubt.Expected, doubt.Hint);
            }

            for (int k = 0; k < columns.Length; k++)
            {
                for (int i = 0; !suspected.Contains(columns[k].Name) && i < Count; i++)
                {
                    if (!double.IsNaN(_values[k][i]) && !columns[k].Range.Holds(_values[k][i]))
                    {
                        at.RefuseCell(_values[k][i].ToString(CultureInfo.InvariantCulture), _lines[i], k + 1, columns[k].Name, columns[k].Range.ToString());
                    }
                }
            }

            for (int i = 1; i < Count; i++)
            {
                bool numbers = !double.IsNaN(curve.Hz[i - 1]) && !double.IsNaN(curve.Hz[i]);
                if (numbers && !CurveFile.Rises(curve.Hz[i - 1], curve.Hz[i]) && !suspected.Contains(MeasuredColumn.Hz))
                {
                    at.RefuseCell(
                        curve.Hz[i].ToString(CultureInfo.InvariantCulture), _lines[i], Array.FindIndex(columns, c => c.Name == MeasuredColumn.Hz) + 1, MeasuredColumn.Hz,
                        FormattableString.Invariant($"a frequency above {curve.Hz[i - 1]} Hz, that of line {_lines[i - 1]}"),
                        "Sort the lines from low to high frequency, each frequency once.");
                }
            }

            return curve;
        }

        private double Number(string cell, int line, int k)
        {
            bool comma = cell.Contains(',', StringComparison.Ordinal), point = cell.Contains('.', StringComparison.Ordinal);
            _commaLine = comma && _commaLine == 0 ? line : _commaLine;
            _pointLine = point && _pointLine == 0 ? line : _pointLine;
            if (comma && _pointLine > 0)
            {
                at.RefuseCell(cell, line, k + 1, columns[k].Name, "one decimal sign throughout", FormattableString.Invariant($"Line {_pointLine} has a decimal point; thousands are not parted."));
                return double.NaN;
            }

            if (point && _commaLine > 0)
            {
                at.RefuseCell(cell, line, k + 1, columns[k].Name, "one decimal sign throughout", FormattableString.Invariant($"Line {_commaLine} has a decimal comma; thousands are not parted."));
                return double.NaN;
            }

            if (TextTable.Number(cell, out double value) && double.IsFinite(value))
            {
                return value;
            }

            at.RefuseCell(cell, line, k + 1, columns[k].Name, columns[k].Range.ToString(), cell.Length == 0 ? "Leave out lines without a value." : null);
            return double.NaN;
        }
    }
}
