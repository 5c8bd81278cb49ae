using System.Text;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>The tables and lists of a build sheet as HTML.</summary>
internal static class SheetTables
{
    private static readonly double[] _readHz = [50, 100, 200, 500, 1000, 2000, 3000, 5000, 8000, 10_000];

    /// <summary>A change of level that no spread of parts explains, dB: common practice, no source.</summary>
    private const double ClearDb = 4;

    /// <summary>Parts by what they are, with every designator.</summary>
    public static string Parts(BuildInJob build)
    {
        StringBuilder rows = new("<table><thead><tr><th>No.</th><th>Part</th><th>Value</th><th class=\"number\">Pcs</th><th>Way</th></tr></thead><tbody>");
        foreach (IGrouping<(PartKind Kind, string Number, string Value), NumberedPart> group in Groups(build))
        {
            NumberedPart[] parts = [.. group];
            rows.Append("<tr><td class=\"no\">").Append(Designators(parts)).Append("</td><td>").Append(Xml.Escape(Words(group.Key.Kind) + (group.Key.Number.Length > 0 ? " " + group.Key.Number : "")))
                .Append("</td><td>").Append(Xml.Escape(group.Key.Value)).Append("</td><td class=\"number\">").Append(FormattableString.Invariant($"{parts.Length}"))
                .Append("</td><td>").Append(Xml.Escape(string.Join(", ", parts.Select(part => build.Build.Earpiece.Ways[part.Way].Name).Distinct()))).Append("</td></tr>");
        }

        return rows.Append("</tbody></table>").ToString();
    }

    /// <summary>How many rows the parts take.</summary>
    public static int PartRows(BuildInJob build) => Groups(build).Count();

    private static IEnumerable<IGrouping<(PartKind Kind, string Number, string Value), NumberedPart>> Groups(BuildInJob build) => NumberedPart.Of(build.Build.Earpiece)
        .Where(part => part.Kind != PartKind.Tubing).OrderBy(part => part.Designator[0] switch { 'R' => 0, 'C' => 1, 'L' => 2, 'P' => 3, _ => 4 })
        .GroupBy(part => (part.Kind, Number(build, part), Value(part)));

    /// <summary>Tubes to cut.</summary>
    public static string Cuts(BuildInJob build)
    {
        StringBuilder rows = new("<table><thead><tr><th>No.</th><th>Way</th><th class=\"number\">Length</th><th class=\"number\">Bore</th><th>Tubing</th></tr></thead><tbody>");
        foreach (NumberedPart part in NumberedPart.Of(build.Build.Earpiece).Where(part => part.Kind == PartKind.Tubing))
        {
            rows.Append(FormattableString.Invariant($"<tr><td class=\"no\">{part.Designator}</td><td>{Xml.Escape(build.Build.Earpiece.Ways[part.Way].Name)}</td><td class=\"number\">{Units.ToMm(part.Length):0.##} mm</td><td class=\"number\">{Units.ToMm(part.Value):0.##} mm</td><td>{Xml.Escape(Number(build, part))}</td></tr>"));
        }

        return rows.Append("</tbody></table>").Append(FormattableString.Invariant($"<p>Cut to ±{Units.ToMm(Math.Round(build.Job.Problem.TubeStep / 2, 9)):0.###} mm, from the damper (or spout) to the tip; all tubes end flush there.</p>")).ToString();
    }

    /// <summary>From the socket to the receivers, a line a way.</summary>
    public static string Wires(Earpiece earpiece)
    {
        IReadOnlyList<NumberedPart> parts = NumberedPart.Of(earpiece);
        StringBuilder list = new("<ul class=\"wiring\">");
        foreach ((Way way, int at) in earpiece.Ways.Select((way, at) => (way, at)))
        {
            IEnumerable<string> steps = way.Network.Select((section, number) =>
                string.Join(" + ", parts.Where(part => part.Way == at && part.Section == number).Select(part => part.Designator)) + (section.Place == SectionPlace.Series ? " in line" : " across"));
            NumberedPart[] receivers = [.. parts.Where(part => part.Way == at && part.Kind == PartKind.Receiver)];
            string wired = way.Count == 1 ? "" : way.Wiring == Wiring.Parallel ? " in parallel" : " in series, marked lead to unmarked lead";
            string turned = way.Polarity == Polarity.Normal ? "marked lead to the network, the other to the return" : "<strong>turned over</strong>: marked lead to the return";
            list.Append("<li><b>").Append(Xml.Escape(way.Name)).Append("</b>: ").Append(Xml.Escape(string.Join(", ", steps.Append(Designators(receivers) + wired)))).Append("; ").Append(turned).Append("</li>");
        }

        return list.Append("</ul>").ToString();
    }

    /// <summary>What it does, in a line, and the limits it breaks.</summary>
    public static string Figures(RankedBuild judged, Problem problem)
    {
        BuildFigures figures = judged.Figures;
        string text = FormattableString.Invariant($"Expected: {figures.MagnitudeRmsDb:0.00} dB RMS from the target ({figures.MagnitudeMaxDb:0.0} at most), phase {figures.PhaseMaxDeg:0.0}° at most, arrivals {figures.ArrivalSpreadUs:0.0} µs apart, {figures.SplAt100mV:0.0} dB at 100 mV and 500 Hz, {figures.ImpedanceMinOhm:0.0} Ω at least.");
        return $"<p>{Xml.Escape(text)}</p>" + (judged.Feasible ? "" : $"<p class=\"warning\">Breaks limits of the job: {Xml.Escape(string.Join("; ", judged.BrokenLimits))}</p>");
    }

    /// <summary>Limits at a few frequencies.</summary>
    public static string Limits(UnitLimits limits)
    {
        double[] hz = [.. _readHz.Where(f => limits.At(f) is not null)];
        LogCurve expected = new(limits.Hz, limits.ExpectedDb);
        string Row(string name, Func<double, double> of) => $"<tr><th scope=\"row\">{name}</th>" + string.Concat(hz.Select(f => FormattableString.Invariant($"<td class=\"number\">{of(f):0.0}</td>"))) + "</tr>";
        return "<table class=\"limits\"><thead><tr><th>Hz</th>" + string.Concat(hz.Select(f => FormattableString.Invariant($"<th class=\"number\">{f:0}</th>"))) + "</tr></thead><tbody>"
            + Row("highest, dB", f => limits.At(f)!.Value.High) + Row("expected, dB", expected.At) + Row("lowest, dB", f => limits.At(f)!.Value.Low) + "</tbody></table>";
    }

    /// <summary>The checks in their order, each with what it should show.</summary>
    public static string Checks(BenchChecks checks, BuildInJob build, string limitsFrom)
    {
        Problem problem = build.Job.Problem;
        StringBuilder list = new("<ol class=\"checks\">");
        void Add(string name, string text) => list.Append("<li><b>").Append(name).Append(".</b> ").Append(text).Append("</li>");
        string ways = build.Build.Earpiece.Ways.Count == 1 ? "" : "; each way alone, before joining: " + string.Join(", ", build.Build.Earpiece.Ways.Zip(checks.Ways, (way, dc) => $"{Xml.Escape(way.Name)} {dc}"));
        Add("DC resistance", $"Socket: <b>{checks.Socket}</b>{ways}. The range takes in the parts' tolerances. Take off the meter's own leads; use its least test current.");
        Add("Polarity", checks.Turned.Count == 0
            ? "One way: marked lead as drawn, the same in the left and the right unit; summed in phase, two units gain 6 dB."
            : "All ways playing; a way turned over shows most here: " + string.Join("; ", checks.Turned.Select(turn => FormattableString.Invariant($"{Xml.Escape(turn.Way)} at {turn.Hz:0} Hz, {turn.RightDb:0.0} dB right, {turn.WrongDb:0.0} dB wrong"))) + "."
            + (checks.Turned.Any(turn => Math.Abs(turn.RightDb - turn.WrongDb) < ClearDb) ? FormattableString.Invariant($" Less than {ClearDb:0} dB is hard to tell: there compare the phase of the ways driven one by one.") : ""));
        Add("Seal", FormattableString.Invariant($"On the ear simulator the level at 50 Hz is {Signed(checks.BassDb)} dB against 500 Hz; a leak of {Units.ToMm(checks.LeakBore):0.##} mm bore makes that {Signed(checks.LeakBassDb)} dB. Seal first, then measure."));
        Add("Curve", FormattableString.Invariant($"At {Units.ToMillivolt(problem.Source.Voltage):0.###} mV behind {problem.Source.Resistance:0.###} Ω, within the limits from {problem.Target.BandLowHz:0} Hz to {problem.Target.BandHighHz:0} Hz. Limits: {Xml.Escape(limitsFrom)}"));
        return list.Append("</ol>").ToString();
    }

    private static string Signed(double db) => (db < 0 ? "−" : "+") + FormattableString.Invariant($"{Math.Abs(db):0.0}");

    /// <summary>Numbers that follow one another as a range: P1–P4.</summary>
    private static string Designators(NumberedPart[] parts)
    {
        int[] numbers = [.. parts.Select(part => int.Parse(part.Designator[1..], System.Globalization.CultureInfo.InvariantCulture))];
        return numbers.Length > 2 && numbers[^1] - numbers[0] == numbers.Length - 1
            ? $"{parts[0].Designator}–{parts[^1].Designator}"
            : string.Join(", ", parts.Select(part => part.Designator));
    }

    private static string Words(PartKind kind) => kind switch
    {
        PartKind.Receiver => "receiver",
        PartKind.Resistor => "resistor",
        PartKind.Capacitor => "capacitor",
        PartKind.Coil => "coil",
        PartKind.Damper => "damper",
        _ => "tubing",
    };

    private static string Value(NumberedPart part) => part.Text + (part.Loss > 0
        ? FormattableString.Invariant($", {(part.Kind == PartKind.Coil ? "DCR" : "ESR")} {part.Loss:0.###} Ω")
        : "");

    /// <summary>The number a part is bought under, from the drawer; empty where it has none.</summary>
    private static string Number(BuildInJob build, NumberedPart part)
    {
        Inventory drawer = build.Job.Inventory;
        IReadOnlyList<StockValue> list = part.Kind switch
        {
            PartKind.Resistor => drawer.Passives.Resistors,
            PartKind.Capacitor => drawer.Passives.Capacitors,
            PartKind.Coil => drawer.Passives.Coils,
            PartKind.Damper => drawer.Dampers,
            _ => drawer.Tubings,
        };
        return part.Kind == PartKind.Receiver
            ? build.Build.Earpiece.Ways[part.Way].Receiver.PartNumber
            : list.FirstOrDefault(stock => Math.Abs(stock.Value - part.Value) <= 1e-9 * part.Value && (part.Loss == 0 || stock.LossResistance == part.Loss))?.PartNumber ?? "";
    }
}
