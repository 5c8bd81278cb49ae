namespace XoverOpt.Search;

/// <summary>
/// Trade-off fronts among builds that keep every limit. A build is dominated where another is at least as good in both figures and
/// better in one (V. Pareto's sense; K. Deb, Multi-Objective Optimization Using Evolutionary Algorithms, 2001, section 2.4). Builds
/// alike in both figures stand or fall together. A build of which a figure is not known is on no front of that figure.
/// </summary>
public static class TradeOffFronts
{
    /// <summary>Below this largest phase of every build, degrees, phase tells nothing and the arrival spread takes its place.</summary>
    private const double NoPhaseDeg = 1;

    private static readonly Axis Cost = new("cost", build => build.Cost.Total);

    /// <summary>Every front, in a fixed order: magnitude against phase, then cost against price, receivers and SPL at 100 mV.</summary>
    public static IReadOnlyList<TradeOffFront> Of(IReadOnlyList<RankedBuild> builds) => [.. Fronts(builds).Select(front => new TradeOffFront(
        front.Name, front.X.Name, front.Y.Name, [.. front.Members.Select(build => build.Rank).Order()]))];

    /// <summary>Indices, rising, of the points that no other is below in one coordinate without being above in the other.</summary>
    /// <param name="points">Less is better in both; a point that is not finite is left out.</param>
    public static IReadOnlyList<int> NonDominated(IReadOnlyList<(double X, double Y)> points)
    {
        var front = new List<int>();
        double lowest = double.PositiveInfinity;
        IEnumerable<int> finite = Enumerable.Range(0, points.Count).Where(i => double.IsFinite(points[i].X) && double.IsFinite(points[i].Y));
        // From left to right a point is on the front if it is lower than everything to its left; of one X only the lowest are.
        foreach (IGrouping<double, int> column in finite.GroupBy(i => points[i].X).OrderBy(group => group.Key))
        {
            double least = column.Min(i => points[i].Y);
            if (least < lowest)
            {
                front.AddRange(column.Where(i => points[i].Y == least));
                lowest = least;
            }
        }

        front.Sort();
        return front;
    }

    /// <summary>Builds on a front that none of <paramref name="kept"/> equals or beats in both figures, front by front, best in Y first.</summary>
    internal static IEnumerable<IReadOnlyList<RankedBuild>> Missing(IReadOnlyList<RankedBuild> all, IReadOnlyCollection<RankedBuild> kept) => Fronts(all)
        .Select(front => front.Members
            .Where(build => !kept.Any(other => other.Feasible && front.X.Of(other) <= front.X.Of(build) && front.Y.Of(other) <= front.Y.Of(build)))
            .OrderBy(front.Y.Of).ThenBy(build => build, BuildRanking.Order)
            .ToList());

    /// <summary>Keys of the builds that are on any front.</summary>
    internal static HashSet<string> Keys(IReadOnlyList<RankedBuild> builds) => [.. Fronts(builds).SelectMany(front => front.Members).Select(build => build.Key)];

    private static IEnumerable<(string Name, Axis X, Axis Y, IReadOnlyList<RankedBuild> Members)> Fronts(IReadOnlyList<RankedBuild> builds)
    {
        RankedBuild[] fit = [.. builds.Where(build => build.Feasible)];
        bool phase = fit.Any(build => build.Figures.PhaseMaxDeg >= NoPhaseDeg);
        Axis second = phase
            ? new("phaseMaxDeg", build => build.Figures.PhaseMaxDeg)
            : new("arrivalSpreadUs", build => build.Figures.ArrivalSpreadUs);
        (string Name, Axis X, Axis Y)[] fronts =
        [
            (phase ? "magnitude and phase" : "magnitude and arrival", new("magnitudeRmsDb", build => build.Figures.MagnitudeRmsDb), second),
            ("price", Cost, new("partsCost", build => (double?)build.Figures.PartsCost ?? double.NaN)),
            ("receivers", Cost, new("receivers", build => build.Figures.Receivers)),
            ("sensitivity", Cost, new("splAt100mV", build => -build.Figures.SplAt100mV)),
        ];
        return fronts.Select(front => (
            front.Name, front.X, front.Y, (IReadOnlyList<RankedBuild>)[.. NonDominated([.. fit.Select(build => (front.X.Of(build), front.Y.Of(build)))]).Select(i => fit[i])]));
    }

    /// <summary>A figure of which less is better; SPL counts with its sign turned.</summary>
    private sealed record Axis(string Name, Func<RankedBuild, double> Of);
}
