using System.Globalization;

namespace XoverOpt.Workshop;

/// <summary>
/// The preferred values of IEC 60063. E24 and what is thinned from it (E12, E6, E3) are a list, older than the rule; E48, E96 and E192
/// are 100·10^(k/n) rounded, but for 920 in E192, where the rule gives 919.
/// </summary>
public static class PreferredValues
{
    private static readonly int[] E24 =
        [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91];

    /// <summary>The names of the series.</summary>
    public static IReadOnlyList<string> Series { get; } = ["E3", "E6", "E12", "E24", "E48", "E96", "E192"];

    /// <summary>One decade of a series: two digits up to E24, three above.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not one of <see cref="Series"/>.</exception>
    public static IReadOnlyList<int> Decade(string series) => series switch
    {
        "E3" or "E6" or "E12" or "E24" => [.. E24.Where((_, k) => k % (24 / Size(series)) == 0)],
        "E48" or "E96" or "E192" => [.. Enumerable.Range(0, Size(series)).Select(k => Rounded(k, Size(series)))],
        _ => throw new ArgumentOutOfRangeException(nameof(series), series, "E3 to E192"),
    };

    /// <summary>The values of a series from <paramref name="min"/> to <paramref name="max"/>, both included, rising.</summary>
    /// <param name="series">One of <see cref="Series"/>.</param>
    /// <param name="min">Smallest, > 0.</param>
    /// <param name="max">Largest.</param>
    public static IReadOnlyList<double> Within(string series, double min, double max)
    {
        IReadOnlyList<int> decade = Decade(series);
        int digits = decade[0] == 10 ? 1 : 2;
        int first = (int)Math.Floor(Math.Log10(min)) - 1, last = (int)Math.Ceiling(Math.Log10(max)) + 1;

        // Parsed from decimal text, so that each is the very double a file's number of that value reads as.
        return
        [
            .. Enumerable.Range(first, last - first + 1)
                .SelectMany(exponent => decade.Select(mantissa => double.Parse(
                    string.Create(CultureInfo.InvariantCulture, $"{mantissa}E{exponent - digits}"), CultureInfo.InvariantCulture)))
                .Where(value => value >= min && value <= max),
        ];
    }

    private static int Size(string series) => int.Parse(series[1..], CultureInfo.InvariantCulture);

    private static int Rounded(int k, int size) =>
        size == 192 && k == 185 ? 920 : (int)Math.Round(100 * Math.Pow(10, (double)k / size));
}
