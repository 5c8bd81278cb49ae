using System.Buffers;
using System.Globalization;
using System.Text;
using XoverOpt.Search;

namespace XoverOpt.Worker.Commands;

/// <summary>
/// The line protocol of <c>cost</c>: a line of values in, a line with the cost out, in the same order. Whatever lines have come in
/// together are answered together, so a caller may send one point or a whole population at once.
/// </summary>
/// <param name="values">The coordinates of a point.</param>
/// <param name="header">Answers the line <c>?</c>.</param>
/// <param name="cost">The cost of a point in the unit cube.</param>
internal sealed class CostLines(IReadOnlyList<PointValue> values, string header, Func<double[], double> cost)
{
    private const int LongestLine = 1 << 20;
    private readonly double[] _point = new double[values.Count];
    private readonly SearchValues<byte> _between = SearchValues.Create(" \t,\r"u8);

    /// <summary>Answers until the input ends.</summary>
    public void Answer(Stream input, Stream output)
    {
        using var answers = new StreamWriter(output, new UTF8Encoding(false), 1 << 16) { NewLine = "\n" };
        byte[] buffer = new byte[1 << 16];
        int filled = 0, read;
        bool skipping = false;
        while ((read = input.Read(buffer, filled, buffer.Length - filled)) > 0)
        {
            filled += read;
            int start = 0, end;
            while ((end = buffer.AsSpan(start, filled - start).IndexOf((byte)'\n')) >= 0)
            {
                if (!skipping)
                {
                    answers.WriteLine(Of(buffer.AsSpan(start, end)));
                }

                skipping = false;
                start += end + 1;
            }

            filled -= start;
            buffer.AsSpan(start, filled).CopyTo(buffer);
            if (filled == buffer.Length && filled < LongestLine)
            {
                Array.Resize(ref buffer, 2 * filled);
            }
            else if (filled == buffer.Length)
            {
                // The rest of the line is thrown away up to its end, so that answers keep step with lines.
                if (!skipping)
                {
                    answers.WriteLine($"error: found a line of more than {LongestLine} bytes; a line holds {values.Count} values");
                }

                (filled, skipping) = (0, true);
            }

            answers.Flush();
        }

        if (filled > 0 && !skipping)
        {
            answers.WriteLine(Of(buffer.AsSpan(0, filled)));
        }
    }

    private string Of(ReadOnlySpan<byte> line)
    {
        if (line.Trim((byte)' ').TrimEnd((byte)'\r').SequenceEqual("?"u8))
        {
            return header;
        }

        int count = 0;
        while (true)
        {
            int start = line.IndexOfAnyExcept(_between);
            if (start < 0)
            {
                break;
            }

            line = line[start..];
            int end = line.IndexOfAny(_between);
            ReadOnlySpan<byte> word = end < 0 ? line : line[..end];
            line = line[word.Length..];
            if (!double.TryParse(word, NumberStyles.Float, CultureInfo.InvariantCulture, out double value))
            {
                return $"error: value {count + 1} is \"{Quote(word)}\"; it must be a number from 0 to 1";
            }

            if (value is not (>= 0 and <= 1))
            {
                return $"error: value {count + 1} is {Quote(word)}; it must be from 0 to 1";
            }

            if (count < _point.Length)
            {
                _point[count] = value;
            }

            count++;
        }

        return count == _point.Length
            ? cost(_point).ToString("R", CultureInfo.InvariantCulture)
            : $"error: found {count} values; a line must hold {_point.Length} (send ? for their names)";
    }

    /// <summary>What was found, cut short and without anything that could upset a terminal.</summary>
    private static string Quote(ReadOnlySpan<byte> word) =>
        string.Concat(Encoding.UTF8.GetString(word[..Math.Min(word.Length, 40)]).Select(c => char.IsControl(c) ? '?' : c));
}
