using XoverOpt.Search;

namespace XoverOpt.Worker.Text;

/// <summary>Trade-offs between the builds of a list in a few lines.</summary>
internal static class FrontText
{
    /// <summary>The builds to look at beside the first; none where no build keeps every limit.</summary>
    public static IEnumerable<string> Lines(IReadOnlyList<RankedBuild> builds)
    {
        RankedBuild[] fit = [.. builds.Where(build => build.Feasible)];
        if (fit.Length < 2)
        {
            yield break;
        }

        yield return "Of the builds that keep every limit:";
        if (fit.Where(build => build.Figures.PartsCost is not null).MinBy(build => build.Figures.PartsCost) is { } cheapest)
        {
            yield return Item("cheapest", cheapest, $"parts {Numbers.Fixed((double?)cheapest.Figures.PartsCost, 2)}");
        }

        RankedBuild fewest = fit.MinBy(build => build.Figures.Receivers)!, loudest = fit.MaxBy(build => build.Figures.SplAt100mV)!;
        RankedBuild truest = fit.MinBy(build => build.Figures.MagnitudeRmsDb)!;
        yield return Item("fewest receivers", fewest, Numbers.Invariant($"{fewest.Figures.Receivers}"));
        yield return Item("loudest", loudest, $"{Numbers.Fixed(loudest.Figures.SplAt100mV, 1)} dB at 100 mV");
        yield return Item("nearest the target", truest, $"{Numbers.Fixed(truest.Figures.MagnitudeRmsDb, 2)} dB RMS");
        IReadOnlyList<TradeOffFront> fronts = TradeOffFronts.Of(builds);
        if (fronts[0].Y == "phaseMaxDeg")
        {
            RankedBuild steadiest = fit.MinBy(build => build.Figures.PhaseMaxDeg)!;
            yield return Item("least phase", steadiest, $"{Numbers.Fixed(steadiest.Figures.PhaseMaxDeg, 1)}° at most");
        }
        else
        {
            RankedBuild closest = fit.MinBy(build => build.Figures.ArrivalSpreadUs)!;
            yield return Item("closest arrivals", closest, $"{Numbers.Fixed(closest.Figures.ArrivalSpreadUs, 1)} µs apart");
        }

        foreach (TradeOffFront front in fronts.Where(front => front.Ranks.Count > 1))
        {
            yield return $"  trade-off in {front.Name,-21} builds {string.Join(", ", front.Ranks.Select(rank => Numbers.Invariant($"{rank}")))}";
        }
    }

    private static string Item(string name, RankedBuild build, string figure) =>
        $"  {name,-20} {Numbers.Invariant($"build {build.Rank}")} ({figure}, cost {Numbers.Fixed(build.Cost.Total, 3)})";
}
