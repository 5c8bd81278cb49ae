namespace XoverOpt.Workshop.Paperwork;

/// <summary>When ways arrive, and the group delay.</summary>
public static class DelayPlot
{
    /// <summary>Delay of each way beyond its own minimum phase, where it counts.</summary>
    public static string ArrivalSvg(BuildCurves curves)
    {
        double limit = curves.Problem.Phase.ArrivalLimit * 1e6;
        double[] arrivals = [.. curves.Ways.Select(way => way.ArrivalUs).Where(double.IsFinite)];
        double middle = arrivals.Length == 0 ? 0 : (arrivals.Min() + arrivals.Max()) / 2, reach = Math.Max(2 * limit, arrivals.Length == 0 ? 0 : arrivals.Max() - middle + limit);
        string Name(WayCurves way) => double.IsFinite(way.ArrivalUs) ? FormattableString.Invariant($"{way.Name}: {way.ArrivalUs:0.0} µs") : $"{way.Name}: –";
        return new FrequencyPlot
        {
            Kind = "arrival",
            Title = "Arrival of each way",
            Description = "Delay of each way's share beyond its own minimum phase, where it is within 10 dB of the whole; the number beside a name is the arrival as the figures reckon it.",
            Quantity = "delay beyond the way's minimum phase, µs",
            Scale = PlotScale.Around(middle - reach, middle + reach),
            Bands = curves.Ways.Count < 2 ? [] : [new(FormattableString.Invariant($"{limit:0.#} µs allowed"), curves.Hz, [.. curves.Hz.Select(_ => middle - (limit / 2))], [.. curves.Hz.Select(_ => middle + (limit / 2))])],
            Series = [.. curves.Ways.Select((way, i) => new PlotSeries(Name(way), curves.Hz, way.DelayUs, i))],
            Note = "Least squares over each curve gives the arrival; high frequencies weigh most, so a bend at the low end counts little.",
        }.Svg();
    }

    /// <summary>Group delay of the whole and of each way.</summary>
    public static string GroupSvg(BuildCurves curves)
    {
        double[] counted = [.. curves.GroupDelayMs.Zip(curves.Hz, (ms, hz) => hz >= 30 ? ms : double.NaN).Where(double.IsFinite)];
        double low = Math.Max(Math.Min(counted.Min(), 0), -5), high = Math.Min(counted.Max(), 20);
        return new FrequencyPlot
        {
            Kind = "group-delay",
            Title = "Group delay",
            Description = "Group delay of the whole and of each way's share over frequency.",
            Quantity = "group delay, ms",
            Scale = PlotScale.Around(low, Math.Max(high, low + 0.5)),
            Series = [new("all ways", curves.Hz, curves.GroupDelayMs, -1, 2), .. curves.Ways.Count < 2 ? [] : curves.Ways.Select((way, i) => new PlotSeries(way.Name, curves.Hz, way.GroupDelayMs, i, 1.4))],
            Note = "Most of what shows at low frequencies is the minimum phase of the level; beyond the axis curves are cut off.",
        }.Svg();
    }
}
