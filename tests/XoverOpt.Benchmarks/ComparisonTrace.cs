using System.Globalization;

namespace XoverOpt.Benchmarks;

/// <summary>The best cost so far over the course of one run: a point for each gain.</summary>
/// <param name="Points">Evaluations used, seconds used and the cost then.</param>
/// <param name="Evaluations">Evaluations used in all, in evaluations of a value.</param>
/// <param name="Seconds">Seconds used in all.</param>
/// <param name="Snapped">For a run on ideal values, the cost of its best point moved to the nearest values that can be bought; else NaN.</param>
internal sealed record ComparisonTrace(
    IReadOnlyList<(double Evaluations, double Seconds, double Cost)> Points, double Evaluations, double Seconds, double Snapped = double.NaN)
{
    /// <summary>The best cost within so many seconds; infinite before the first.</summary>
    public double AfterSeconds(double seconds) => Points.LastOrDefault(point => point.Seconds <= seconds, (0, 0, double.PositiveInfinity)).Cost;

    /// <summary>The best cost within so many evaluations; infinite before the first.</summary>
    public double AfterEvaluations(double evaluations) =>
        Points.LastOrDefault(point => point.Evaluations <= evaluations, (0, 0, double.PositiveInfinity)).Cost;

    /// <summary>Reads lines "evaluations,seconds,cost" and the closing lines "# used evaluations seconds" and "# snapped cost".</summary>
    public static ComparisonTrace Parse(IEnumerable<string> lines)
    {
        var points = new List<(double, double, double)>();
        double evaluations = double.NaN, seconds = double.NaN, snapped = double.NaN;
        foreach (string line in lines)
        {
            string[] words = line.Split(' ');
            if (line.StartsWith("# used ", StringComparison.Ordinal))
            {
                (evaluations, seconds) = (Number(words[2]), Number(words[3]));
            }
            else if (line.StartsWith("# snapped ", StringComparison.Ordinal))
            {
                snapped = Number(words[2]);
            }
            else if (line.Length > 0 && char.IsAsciiDigit(line[0]))
            {
                string[] cells = line.Split(',');
                points.Add((Number(cells[0]), Number(cells[1]), Number(cells[2])));
            }
        }

        return double.IsNaN(seconds) ? throw new FormatException("the trace has no line of what was used: the run was broken off") : new(points, evaluations, seconds, snapped);
    }

    /// <summary>What <see cref="Parse"/> reads, under a line that says what was run.</summary>
    public IEnumerable<string> Lines(string stamp) =>
    [
        "# " + stamp,
        "evaluations,seconds,cost",
        .. Points.Select(point => string.Create(CultureInfo.InvariantCulture, $"{point.Evaluations},{point.Seconds:0.0000},{point.Cost:R}")),
        string.Create(CultureInfo.InvariantCulture, $"# used {Evaluations} {Seconds:0.000}"),
        string.Create(CultureInfo.InvariantCulture, $"# snapped {Snapped:R}"),
    ];

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
