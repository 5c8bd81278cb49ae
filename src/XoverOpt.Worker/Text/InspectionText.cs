using XoverOpt.Search;

namespace XoverOpt.Worker.Text;

/// <summary>What an inspection found, in words and a table.</summary>
internal static class InspectionText
{
    private const int MostStories = 6;
    private const int MostOutside = 12;

    /// <summary>Everything, but for the caution.</summary>
    public static IEnumerable<string> Lines(UnitReport report, UnitMeasurement measured)
    {
        yield return Judgement(report, measured);
        if (report.Limits.Inside is { } inside)
        {
            yield return $"These limits aim at {Numbers.Part(100 * inside)} % of units in order inside all of them at once, as far as the response follows the parts in a straight line; some more are refused.";
        }

        foreach (string line in Table(report.Outside, "dB", at => (at.Hz, at.MeasuredDb, at.LowDb, at.HighDb)).Concat(Table(report.OutsideOhm, "Ω", at => (at.Hz, at.MeasuredOhm, at.LowOhm, at.HighOhm))))
        {
            yield return line;
        }

        foreach (string assumed in report.Assumed)
        {
            yield return $"assumed: {assumed}";
        }

        yield return "";
        foreach (string line in Words(report, measured))
        {
            yield return line;
        }

        yield return "";
        yield return $"{"likely",9}{"misfit",9}  story";
        foreach (UnitVerdict verdict in report.Verdicts.Take(MostStories))
        {
            yield return $"{Percent(verdict.Probability),9}{Numbers.Fixed(verdict.MisfitPerRow, 2),9}  {(verdict.Kind == FaultKind.NoneFound ? "none found: " : "")}{verdict.Words}";
        }

        yield return "misfit: squared deviation a number measured, of bench and parts together; about 1 for a true story.";
    }

    /// <summary>The finding in a few sentences.</summary>
    public static IEnumerable<string> Words(UnitReport report, UnitMeasurement measured)
    {
        UnitVerdict first = report.Verdicts[0];
        yield return first.Kind == FaultKind.NoneFound ? "No fault found: parts within their spread explain what was measured." : $"Likely fault: {first.Words}.";
        if (report.Verdicts.Count > 1)
        {
            UnitVerdict next = report.Verdicts[1];
            string other = next.Kind == FaultKind.NoneFound ? "that nothing is wrong" : next.Words;
            yield return report.Alike.Count > 0
                ? $"The data cannot tell it from: {string.Join("; ", report.Alike.Select(alike => alike.Kind == FaultKind.NoneFound ? "nothing wrong" : alike.Words))}."
                : $"It is {Times(report.Odds)} likelier than the next story, {other}.";
        }

        if (!report.Explained)
        {
            yield return $"Yet no story explains the unit: the best leaves {Numbers.Fixed(first.MisfitPerRow, 1)} times the misfit of a true one. Two faults at once, another build, or another bench than stated are possible.";
        }

        yield return (measured.ImpedanceOhm, measured.PhaseDeg) switch
        {
            (null, null) => $"From level alone at {report.Points} frequencies: what is electrical and what is acoustical is often hard to tell apart. Measure the impedance too.",
            (null, _) => $"From level and phase at {report.Points} frequencies; the impedance would tell what is electrical from what is acoustical.",
            (_, null) => $"From level and impedance at {report.Points} frequencies.",
            _ => $"From level, phase and impedance at {report.Points} frequencies.",
        };
    }

    private static string Judgement(UnitReport report, UnitMeasurement measured)
    {
        string impedance = measured.ImpedanceOhm is null ? report.Limits.LowOhm is null ? "" : " The impedance was not measured, so its limits were not applied."
            : report.JudgedOhm == 0 ? " The limits say nothing of the impedance." : "";
        string what = report.JudgedOhm == 0 ? "every level lies" : "every level and impedance lies";
        string[] outside =
        [
            .. report.Outside.Count == 0 ? Array.Empty<string>() : [$"{report.Outside.Count} of {report.Judged} levels"],
            .. report.OutsideOhm.Count == 0 ? Array.Empty<string>() : [$"{report.OutsideOhm.Count} of {report.JudgedOhm} impedances"],
        ];
        return (report.Judged == 0 ? "NOT JUDGED: the limits cover none of the measured frequencies."
            : report.Passes ? $"PASS: {what} inside the limits."
            : $"FAIL: {string.Join(" and ", outside)} lie outside the limits.") + impedance;
    }

    /// <summary>Some of many, evenly.</summary>
    private static IEnumerable<string> Table<T>(IReadOnlyList<T> all, string unit, Func<T, (double Hz, double Measured, double Low, double High)> of)
    {
        if (all.Count > 0)
        {
            yield return $"{"Hz",10}{unit,9}{"low",9}{"high",9}";
        }

        foreach (T at in all.Count <= MostOutside ? all : Enumerable.Range(0, MostOutside).Select(k => all[k * (all.Count - 1) / (MostOutside - 1)]))
        {
            (double hz, double value, double low, double high) = of(at);
            yield return $"{Numbers.Part(hz),10}{Numbers.Fixed(value, 2),9}{Numbers.Fixed(low, 2),9}{Numbers.Fixed(high, 2),9}";
        }
    }

    private static string Times(double odds) => odds >= 1e6 ? "more than a million times" : $"{Numbers.Part(odds >= 100 ? Math.Round(odds) : Math.Round(odds, 1))} times";

    private static string Percent(double probability) => probability < 5e-4 ? "< 0.1 %" : $"{Numbers.Fixed(100 * probability, 1)} %";
}
