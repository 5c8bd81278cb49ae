using System.Globalization;
using System.Text;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// The limits a built unit is measured against, as comma-separated text: lines that start with # say what they hold for, then a line of
/// headings and a line a frequency. Text from jobs and drawers bears no separator and no line break there, so that a spreadsheet shows
/// it as one cell that starts with # and takes none of it for a formula.
/// </summary>
public static class LimitsFile
{
    /// <summary>The text. The same arguments give the same text, in any culture.</summary>
    /// <param name="limits">The limits.</param>
    /// <param name="problem">The job they hold for.</param>
    public static string Write(TestLimits limits, Problem problem)
    {
        SpreadSettings settings = limits.Spread.Settings;
        StringBuilder text = new();
        void Say(FormattableString line) => text.Append("# ").Append(Plain(FormattableString.Invariant(line))).Append('\n');
        Say($"Limits for the test bench (limits/1) by XoverOpt {BuildFile.ProgramVersion}");
        Say($"job: {problem.Name}");
        Say($"job hash: {problem.JobHash}");
        Say($"build: {limits.Spread.Key}");
        Say($"drive: {Units.ToMillivolt(problem.Source.Voltage)} mV RMS behind {problem.Source.Resistance} ohm at the socket; levels at the microphone of the ear simulator in dB re 20 uPa");
        Say($"units drawn: {settings.Samples} with seed {settings.Seed}; {100 * settings.Coverage:0.##} % of them lie between low and high at each frequency before the allowance");
        Say($"measurement allowance at either end: {limits.AllowanceDb} dB and {limits.AllowancePercent} % of the impedance");
        Say($"of the units drawn {100 * limits.Inside.Value:0.0} % (standard error {100 * limits.Inside.StandardError:0.0}) lie inside the limits of level at all frequencies at once when measured without error and {100 * limits.InsideBoth.Value:0.0} % inside those of level and impedance; the rest are in order too and would be refused");
        Say($"the simulator stands for an ear from 100 Hz to 10 kHz and is only a coupler outside");
        foreach (string part in limits.Spread.Assumed)
        {
            Say($"assumed: {part}");
        }

        Say($"{BuildFile.Caution}");
        text.Append("hz,expectedDb,lowDb,highDb,expectedOhm,lowOhm,highOhm\n");
        foreach (TestLimit row in limits.Rows)
        {
            text.Append(CultureInfo.InvariantCulture, $"{row.Hz:0.###},{row.ExpectedDb:0.000},{row.LowDb:0.000},{row.HighDb:0.000},{row.ExpectedOhm:0.000},{row.LowOhm:0.000},{row.HighOhm:0.000}\n");
        }

        return text.ToString();
    }

    private static string Plain(string text) =>
        string.Concat(text.Select(letter => letter is ',' or ';' or '\t' ? " /" : letter == '"' ? "'" : char.IsControl(letter) ? " " : letter.ToString()));
}
