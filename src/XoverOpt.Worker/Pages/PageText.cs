using System.Globalization;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;

namespace XoverOpt.Worker.Pages;

/// <summary>Numbers and times as pages write them.</summary>
internal static class PageText
{
    /// <summary>A time to the minute, UTC.</summary>
    public static string Minute(DateTimeOffset? time) => time?.UtcDateTime.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture) ?? "–";

    /// <summary>A number for a program to read.</summary>
    public static string Plain(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    /// <summary>How far a run has come, percent.</summary>
    public static string Percent(JobView run) =>
        run.State == "done" ? "100 %" : run.Progress is { } progress ? Numbers.Fixed(Math.Floor(100 * progress.Fraction), 0) + " %" : "–";

    /// <summary>Working time left.</summary>
    public static string Left(ProgressView? progress) => progress?.LeftSeconds is { } left ? Numbers.Duration(TimeSpan.FromSeconds(left)) : "–";

    /// <summary>A frequency with its unit, such as "12.5 kHz".</summary>
    public static string Hz(double hz) => hz >= 1000 ? $"{Numbers.Part(hz / 1000)} kHz" : $"{Numbers.Part(hz)} Hz";

    /// <summary>A quantity; a dash where it is not stated.</summary>
    public static string Amount(decimal? amount) => amount?.ToString("0.##", CultureInfo.InvariantCulture) ?? "–";

    /// <summary>Money to the cent, or finer where a price is.</summary>
    public static string Money(decimal? amount) => amount?.ToString("0.00##", CultureInfo.InvariantCulture) ?? "–";

    /// <summary>Money with its currency.</summary>
    public static string Price(decimal? amount, string? currency) => amount is null ? "–" : $"{Money(amount)} {currency}".TrimEnd();

    /// <summary>A day.</summary>
    public static string Day(DateOnly? day) => day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture) ?? "not known";

    /// <summary>The first letters of a hash.</summary>
    public static string Hash(string hash) => hash.Length > 12 ? hash[..12] : hash;
}
