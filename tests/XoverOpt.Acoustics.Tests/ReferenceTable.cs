using System.Globalization;
using System.Numerics;

namespace XoverOpt.Acoustics.Tests;

/// <summary>One reference file of tests/data: comma-separated, first line the column names, fields with commas in double quotes.</summary>
internal sealed class ReferenceTable
{
    private readonly string[] columns;

    private ReferenceTable(string[] columns, IReadOnlyList<string[]> lines)
    {
        this.columns = columns;
        Rows = [.. lines.Select(line => new Row(this, line))];
    }

    public IReadOnlyList<Row> Rows { get; }

    public static ReferenceTable Read(string set, string file)
    {
        string[] lines = File.ReadAllLines(Path.Combine(AppContext.BaseDirectory, "data", set, file));
        return new ReferenceTable(Split(lines[0]), [.. lines.Skip(1).Where(line => line.Length > 0).Select(Split)]);
    }

    private static string[] Split(string line)
    {
        var fields = new List<string>();
        int start = 0;
        bool quoted = false;
        for (int i = 0; i <= line.Length; i++)
        {
            if (i < line.Length && line[i] == '"')
            {
                quoted = !quoted;
            }
            else if (i == line.Length || (line[i] == ',' && !quoted))
            {
                fields.Add(line[start..i].Trim('"'));
                start = i + 1;
            }
        }

        return [.. fields];
    }

    internal sealed class Row(ReferenceTable table, string[] fields)
    {
        public string Text(string column)
        {
            int index = Array.IndexOf(table.columns, column);
            return index >= 0 ? fields[index] : throw new ArgumentException($"No column {column}.", nameof(column));
        }

        public double Number(string column) => double.Parse(Text(column), NumberStyles.Float, CultureInfo.InvariantCulture);

        /// <summary>The complex number in the columns NAME_re and NAME_im.</summary>
        public Complex Complex(string column) => new(Number(column + "_re"), Number(column + "_im"));

        /// <summary>Half a unit of the last printed digit.</summary>
        public double HalfDigit(string column)
        {
            string[] parts = Text(column).Split('e');
            int decimals = parts[0].Contains('.', StringComparison.Ordinal) ? parts[0].Length - parts[0].IndexOf('.', StringComparison.Ordinal) - 1 : 0;
            int exponent = parts.Length > 1 ? int.Parse(parts[1], CultureInfo.InvariantCulture) : 0;
            return 0.5 * Math.Pow(10, exponent - decimals);
        }
    }
}
