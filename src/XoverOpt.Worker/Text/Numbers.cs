using System.Globalization;

namespace XoverOpt.Worker.Text;

/// <summary>Numbers as people read them; invariant culture.</summary>
internal static class Numbers
{
    /// <summary>So many digits behind the point; a dash where there is no number.</summary>
    public static string Fixed(double? value, int decimals) => value switch
    {
        null => "–",
        double.PositiveInfinity => "∞",
        double.NegativeInfinity => "-∞",
        { } number when double.IsNaN(number) => "–",
        { } number => number.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture),
    };

    /// <summary>As few digits as say it, four at most: for part values.</summary>
    public static string Part(double value) =>
        double.Parse(value.ToString("G4", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture)
            .ToString("0.##########", CultureInfo.InvariantCulture);

    /// <summary>A count with a thousands letter, such as "152 k".</summary>
    public static string Count(double value) => Math.Abs(value) switch
    {
        >= 1e15 => value.ToString("0.0e+0", CultureInfo.InvariantCulture),
        >= 1e9 => Fixed(value / 1e9, 1) + " G",
        >= 1e6 => Fixed(value / 1e6, 1) + " M",
        >= 1e4 => Fixed(value / 1e3, 0) + " k",
        _ => Fixed(value, 0),
    };

    /// <summary>A duration in its two largest units.</summary>
    public static string Duration(TimeSpan? time) => time switch
    {
        null => "–",
        { TotalDays: >= 1000 } => "years",
        { TotalDays: >= 1 } t => Invariant($"{(int)t.TotalDays} d {t.Hours} h"),
        { TotalHours: >= 1 } t => Invariant($"{t.Hours} h {t.Minutes:00} min"),
        { TotalMinutes: >= 1 } t => Invariant($"{t.Minutes} min {t.Seconds:00} s"),
        { } t => Invariant($"{t.TotalSeconds:0} s"),
    };

    /// <summary>Formats with the invariant culture.</summary>
    public static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
