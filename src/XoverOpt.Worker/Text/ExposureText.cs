using XoverOpt.Search;

namespace XoverOpt.Worker.Text;

/// <summary>Exposure in words.</summary>
internal static class ExposureText
{
    /// <summary>What it rests on.</summary>
    public const string Basis =
        "Exposure: programme-simulation noise (IEC 60268-1), eardrum level referred to the field (as in ANSI S3.4) and A-weighted (IEC 61672-1); a day by NIOSH 98-126 (85 dBA for 8 h, 3 dB halves), a week by "
        + "WHO-ITU H.870 (80 dBA for 40 h; sensitive listeners and children 75 dBA for 40 h). Advice, not a medical or legal statement: local rules and licensed people decide.";

    /// <summary>The heading of a table of exposures.</summary>
    public static string Heading(string title) => $"  {title,-38}{"eardrum dB",11}{"field dBA",11}{"a day",9}{"a week",9}{"sensitive",11}";

    /// <summary>A row of it; the week of sensitive listeners and children last.</summary>
    public static string Row(string name, Exposure exposure) =>
        $"    {name,-36}{Numbers.Fixed(exposure.EardrumDb, 1),11}{Numbers.Fixed(exposure.FieldDba, 1),11}{Day(exposure.Time.DailySeconds),9}"
        + $"{Week(exposure.Time.WeeklyHours),9}{Week(exposure.Time.WeeklyHoursSensitive),11}";

    /// <summary>The times of grown listeners, by NIOSH and by WHO-ITU.</summary>
    public static string Times(ListeningTime time) =>
        $"{Day(time.DailySeconds)} a day, {Week(time.WeeklyHours)} a week";

    private static string Day(double seconds) => Hours(Math.Min(seconds / 3600, 24));

    private static string Week(double hours) => Hours(Math.Min(hours, 168));

    private static string Hours(double hours) => hours switch
    {
        >= 1 => $"{Numbers.Fixed(hours, 1)} h",
        >= 1 / 60.0 => $"{Numbers.Fixed(Math.Floor(hours * 60), 0)} min",
        _ => $"{Numbers.Fixed(Math.Floor(hours * 3600), 0)} s",
    };
}
