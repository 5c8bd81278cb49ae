namespace XoverOpt.Search;

/// <summary>
/// How long a level may last by two published rules, from the A-weighted level in the field. Advice, not a medical or legal statement.
/// </summary>
/// <param name="DailySeconds">A day, NIOSH 98-126 (1998): 8 h at 85 dBA, halved for every 3 dB more. Above 24 h it says nothing more.</param>
/// <param name="WeeklyHours">A week, WHO-ITU H.870: 40 h at 80 dBA, 1.6 Pa²h, same energy.</param>
/// <param name="WeeklyHoursSensitive">A week in its mode for children and sensitive listeners: 40 h at 75 dBA.</param>
/// <param name="WeeklyDosePercentPerHour">What an hour takes of the adult week, %.</param>
public sealed record ListeningTime(double DailySeconds, double WeeklyHours, double WeeklyHoursSensitive, double WeeklyDosePercentPerHour)
{
    /// <summary>The times for a level, dBA.</summary>
    public static ListeningTime At(double dba)
    {
        double weekly = 40 * Math.Pow(10, (80 - dba) / 10);
        return new(8 * 3600 / Math.Pow(2, (dba - 85) / 3), weekly, 40 * Math.Pow(10, (75 - dba) / 10), 100 / weekly);
    }
}
