using XoverOpt.Search;

namespace XoverOpt.Worker.Text;

/// <summary>One build in full: what to build, what it does, which limits it breaks.</summary>
internal static class BuildText
{
    private const int ItemIndent = 23;

    /// <summary>Its lines.</summary>
    public static IEnumerable<string> Lines(RankedBuild build, Problem problem)
    {
        yield return (build.Rank > 0 ? Numbers.Invariant($"Build {build.Rank}") : "Build")
            + (build.Feasible ? ", keeps every limit of the job" : ", BREAKS limits of the job:");
        foreach (string limit in build.BrokenLimits)
        {
            yield return "  ! " + limit;
        }

        foreach (string line in build.Earpiece.Ways.SelectMany(WayText.Full))
        {
            yield return "  " + line;
        }

        BuildFigures figures = build.Figures;
        yield return Item("magnitude error", $"{Numbers.Fixed(figures.MagnitudeRmsDb, 2)} dB RMS, {Numbers.Fixed(figures.MagnitudeMaxDb, 2)} dB at most");
        yield return Item(
            problem.Phase.Kind == PhaseKind.Excess ? "excess phase" : "phase, delay removed",
            $"{Numbers.Fixed(figures.PhaseRmsDeg, 1)}° RMS, {Numbers.Fixed(figures.PhaseMaxDeg, 1)}° at most");
        yield return Item("arrival spread", $"{Numbers.Fixed(figures.ArrivalSpreadUs, 1)} µs ({Arrivals(build)})");
        yield return Item("summing loss", $"{Numbers.Fixed(figures.SummingLossDb, 2)} dB at worst where ways overlap");
        yield return Item("SPL at 100 mV", $"{Numbers.Fixed(figures.SplAt100mV, 1)} dB at 500 Hz, {Numbers.Fixed(figures.SplAt100mV1kHz, 1)} dB at 1 kHz");
        yield return Item("SPL at 1 mW", $"{Numbers.Fixed(figures.SplAt1mW, 1)} dB at 500 Hz, {Numbers.Fixed(figures.SplAt1mW1kHz, 1)} dB at 1 kHz");
        var exposure = Exposure.Of(build.Earpiece, problem.Ear, new(0.1, 0), SoundField.Diffuse);
        yield return Item("exposure", $"programme noise at 100 mV: {Numbers.Fixed(exposure.FieldDba, 1)} dBA; {ExposureText.Times(exposure.Time)} (NIOSH, WHO-ITU)");
        yield return Item("impedance", $"{Numbers.Fixed(figures.ImpedanceMinOhm, 1)} Ω at least, {Numbers.Fixed(figures.Impedance1kHzOhm, 1)} Ω at 1 kHz");
        yield return Item("10 Ω source", $"changes the response by {Numbers.Fixed(figures.SourceShiftDb, 2)} dB at most");
        foreach (PeakHeadroom peak in figures.Headroom)
        {
            yield return Item(
                $"limit at {Numbers.Part(peak.Hz)} Hz",
                $"{Numbers.Fixed(peak.Db, 1)} dB, from {Numbers.Fixed(peak.SocketVolt * 1e3, 0)} mV: {peak.Way} meets its {peak.Limit}");
        }

        yield return Item("parts", Numbers.Invariant($"{figures.Parts}, of them {figures.Receivers} receivers; cost {Price(figures, problem)}"));
        if (figures.BodyVolumeMm3 is { } volume)
        {
            yield return Item("receiver bodies", $"{Numbers.Fixed(volume, 0)} mm³");
        }

        CostBreakdown cost = build.Cost;
        yield return Item(
            "cost",
            $"{Numbers.Fixed(cost.Total, 4)} = magnitude {Numbers.Fixed(cost.Magnitude, 4)} + phase {Numbers.Fixed(cost.Phase, 4)} + arrival "
            + $"{Numbers.Fixed(cost.Arrival, 4)} + summing {Numbers.Fixed(cost.Summing, 4)} + penalty {Numbers.Fixed(cost.Penalty, 4)}");
        if (double.IsFinite(build.RelaxedCost))
        {
            yield return Item("with ideal values", $"{Numbers.Fixed(build.RelaxedCost, 4)}; values that can be bought cost {Loss(build.SnappingLossPercent)} more");
        }

        foreach (Advice advice in build.Advice)
        {
            foreach ((string line, int at) in Report.Wrap(advice.Words, Report.Width - ItemIndent).Select((line, at) => (line, at)))
            {
                yield return Item(at > 0 ? "" : advice.What == AdviceKind.Receivers ? "what costs most" : "would help", line);
            }
        }
    }

    private static string Arrivals(RankedBuild build) => string.Join(
        ", ", build.Earpiece.Ways.Zip(build.Figures.ArrivalUs, (way, arrival) => $"{way.Name} {Numbers.Fixed(arrival, 1)}"));

    private static string Price(BuildFigures figures, Problem problem)
    {
        string currency = problem.Ways.SelectMany(way => way.Receivers).Select(receiver => receiver.Supply?.Currency).FirstOrDefault(name => name is not null) ?? "";
        string price = figures.PartsCost is { } cost ? $"{Numbers.Fixed((double)cost, 2)} {currency}".TrimEnd() : "unknown";
        return figures.UnpricedParts == 0 ? price : Numbers.Invariant($"{price}, {figures.UnpricedParts} parts have no price");
    }

    private static string Loss(double percent) => double.IsFinite(percent) ? $"{Numbers.Fixed(percent, 1)} %" : "–";

    private static string Item(string name, string text) => $"  {name,-20} {text}";
}
