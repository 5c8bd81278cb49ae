using XoverOpt.Search;

namespace XoverOpt.Worker.Text;

/// <summary>Exposure in words.</summary>
internal static class ExposureText
{
    /// <summary>What it rests on.</summary>
    public const string Basis =
        "Exposure: programme-simulation noise (IEC 60268-1), eardrum level referred to the field and A-weighted (IEC 61672-1); a day by NIOSH 98-126 (85 dBA for 8 h, 3 dB halves), a week by "
        + "WHO-ITU H.870 (80 dBA for 40 h; sensitive listeners and children 75 dBA for 40 h). Advice, not a medical or legal statement: local rules and licensed people decide.";

    /// <summary>Level and times in one line.</summary>
    public static string Line(Exposure exposure) =>
        $"{Numbers.Fixed(exposure.FieldDba, 1)} dBA in the field; {Times(exposure.Time)}, sensitive {Week(exposure.Time.WeeklyHoursSensitive)}";

    /// <summary>The times of grown listeners, by NIOSH and by WHO-ITU.</summary>
    public static string Times(ListeningTime time) =>
        $"{(time.DailySeconds >= 24 * 3600 ? "all day" : Hours(time.DailySeconds / 3600) + " a day")}, {Week(time.WeeklyHours)}";

    private static string Week(double hours) => hours >= 168 ? "all week" : Hours(hours) + " a week";

    private static string Hours(double hours) => hours switch
    {
        >= 1 => $"{Numbers.Fixed(hours, 1)} h",
        >= 1 / 60.0 => $"{Numbers.Fixed(Math.Floor(hours * 60), 0)} min",
        _ => $"{Numbers.Fixed(Math.Floor(hours * 3600), 0)} s",
    };
}
