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
        yield return report.Judged == 0 ? "NOT JUDGED: the limits cover none of the measured frequencies." : report.Passes ? "PASS: every level lies inside the limits." : $"FAIL: {report.Outside.Count} of {measured.Hz.Length} levels lie outside the limits.";
        if (report.Outside.Count > 0)
        {
            yield return $"{"Hz",10}{"dB",9}{"low",9}{"high",9}";
            foreach (OutsideLimits at in Spread(report.Outside))
            {
                yield return $"{Numbers.Part(at.Hz),10}{Numbers.Fixed(at.MeasuredDb, 2),9}{Numbers.Fixed(at.LowDb, 2),9}{Numbers.Fixed(at.HighDb, 2),9}";
            }
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

    /// <summary>Some of many, evenly.</summary>
    private static IEnumerable<OutsideLimits> Spread(IReadOnlyList<OutsideLimits> all) =>
        all.Count <= MostOutside ? all : Enumerable.Range(0, MostOutside).Select(k => all[k * (all.Count - 1) / (MostOutside - 1)]);

    private static string Times(double odds) => odds >= 1e6 ? "more than a million times" : $"{Numbers.Part(odds >= 100 ? Math.Round(odds) : Math.Round(odds, 1))} times";

    private static string Percent(double probability) => probability < 5e-4 ? "< 0.1 %" : $"{Numbers.Fixed(100 * probability, 1)} %";
}
