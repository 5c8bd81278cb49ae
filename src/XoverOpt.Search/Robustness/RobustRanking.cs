using System.Globalization;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// Ranks the builds a search ended with once more, by what is to be expected of them:
/// <code>
/// score = (1 − w)·nominal + w·(expected + 1 − yield)
/// expected = nominal + (mean over units − nominal) + (mean over ears − nominal) + (mean over sources − nominal)
/// </code>
/// Costs are those of <see cref="CostFunction"/> without penalties; a unit that breaks a limit costs one more instead, as much as an RMS error of
/// half the tolerance. Parts, ears and sources are varied one after another; what they do together is left out. All builds meet the same draws.
/// Order: builds that keep every limit first, then score, then <see cref="BuildRanking.Order"/>, which is total.
/// </summary>
public static class RobustRanking
{
    // As the ranking itself, so that the cost as drawn is that of the build.
    private const int PointsPerOctave = 24;

    /// <summary>The builds in robust order, with new ranks and their figures; as they were where the job does not ask.</summary>
    public static IReadOnlyList<RankedBuild> Of(Problem problem, IReadOnlyList<RankedBuild> builds)
    {
        if (problem.Robust is not { } goal || builds.Count == 0)
        {
            return builds;
        }

        // Units and scenarios bring tables of their own, so that none of the job's lists need be tabulated. No peaks: they only make penalties.
        Problem bare = problem with { Ways = [], Limits = problem.Limits with { MinPeakSpl = [] } };
        var own = new ProblemTables(bare, PointsPerOctave);
        (double, CostWorkspace)[] ears = goal.Ears ? Rooms(EarScenarios.Of(problem), bare) : [];
        (double, CostWorkspace)[] sources = goal.Sources ? Rooms(SourceScenarios.Of(problem), bare) : [];
        var judged = builds.Select(build =>
        {
            var parts = new PartSpread(build.Earpiece, problem, new SpreadSettings());
            var workspace = new SpreadWorkspace(own, build.Earpiece, parts);
            double nominal = Plain(workspace.Evaluate(new double[parts.Parts.Count]));
            Units? units = goal.Spread ? Drawn(problem, build.Earpiece, parts, workspace, goal.Samples, nominal) : null;
            double? other = goal.Ears ? Mean(ears, build.Earpiece) - nominal : null, sourced = goal.Sources ? Mean(sources, build.Earpiece) - nominal : null;
            var figures = new RobustRankingFigures(build.Rank, 0, nominal, units is null ? null : SpreadEstimate.Mean(units.Added), other, sourced, units?.Yield);
            double score = ((1 - goal.Weight) * nominal) + (goal.Weight * (figures.ExpectedCost + 1 - (figures.Yield?.Value ?? 1)));
            double[] scores = [.. (units?.Penalised ?? []).Select(added => nominal + (goal.Weight * (added + (other ?? 0) + (sourced ?? 0))))];
            return (Build: build with { Robust = figures with { Score = double.IsFinite(score) ? score : double.PositiveInfinity } }, Scores: scores);
        }).OrderByDescending(one => one.Build.Feasible).ThenBy(one => one.Build.Robust!.Score).ThenBy(one => one.Build, BuildRanking.Order).ToArray();
        return [.. judged.Select((one, i) => one.Build with { Rank = i + 1, Robust = one.Build.Robust! with { Behind = Behind(one.Scores, judged[0].Scores) } })];
    }

    private static SpreadEstimate? Behind(double[] scores, double[] first) =>
        scores.Length == 0 ? null : SpreadEstimate.Mean([.. scores.Zip(first, (own, best) => own - best)]);

    /// <summary>Whether the robust winner is the nominal one, and why not, in a sentence; null where the job did not ask.</summary>
    public static string? Words(IReadOnlyList<RankedBuild> builds)
    {
        if (builds.Count == 0 || builds[0].Robust is not { } best)
        {
            return null;
        }

        RankedBuild nominal = builds.First(build => build.Robust!.NominalRank == builds.Min(other => other.Robust!.NominalRank));
        if (nominal.Rank == 1)
        {
            string next = builds.Count > 1 && builds[1].Robust!.Behind is { } behind ? $"; the next is {Apart(behind)}" : "";
            return string.Create(CultureInfo.InvariantCulture, $"The build of least cost as drawn also holds up best ({Figures(best)}){next}.");
        }

        RobustRankingFigures other = nominal.Robust!;
        (string Cause, double Gain)[] causes =
        [
            ("more of its units keep the limits", (best.Yield?.Value ?? 0) - (other.Yield?.Value ?? 0)),
            ("its response moves less as parts vary", (other.SpreadCost?.Value ?? 0) - (best.SpreadCost?.Value ?? 0)),
            ("it moves less from ear to ear", (other.EarsCost ?? 0) - (best.EarsCost ?? 0)),
            ("it moves less from source to source", (other.SourcesCost ?? 0) - (best.SourcesCost ?? 0)),
        ];
        string sure = other.Behind is { } apart ? $" The one of least cost is {Apart(apart)}." : "";
        return string.Create(
            CultureInfo.InvariantCulture,
            $"The build of least cost as drawn is not the one that holds up best: it is build {nominal.Rank} here ({Figures(other)}); build 1, which was {best.NominalRank} by its own cost, goes before it ({Figures(best)}), most of all because {causes.MaxBy(cause => cause.Gain).Cause}.{sure}");
    }

    private static string Apart(SpreadEstimate behind) => string.Create(
        CultureInfo.InvariantCulture,
        $"{behind.Value:0.000} ± {behind.StandardError:0.000} behind in score on the same draws{(Math.Abs(behind.Value) > 2 * behind.StandardError ? "" : ", which does not tell the two apart")}");

    private static string Figures(RobustRankingFigures figures) => string.Create(
        CultureInfo.InvariantCulture,
        $"cost {figures.NominalCost:0.000} as drawn, {figures.ExpectedCost:0.000} expected{(figures.Yield is { } yield ? string.Create(CultureInfo.InvariantCulture, $", yield {100 * yield.Value:0.0} ± {100 * yield.StandardError:0.0} %") : "")}");

    private static double Plain(CostFigures figures) => figures.Cost.Total - figures.Cost.Penalty;

    private static Units Drawn(Problem problem, Earpiece earpiece, PartSpread parts, SpreadWorkspace workspace, int samples, double nominal)
    {
        var limits = new YieldLimits(problem, earpiece);
        var units = new Units(new double[samples], new bool[samples]);
        for (int unit = 0; unit < samples; unit++)
        {
            parts.Draw(problem.Effort.Seed, unit, workspace.Deviations);
            CostFigures figures = workspace.Evaluate(workspace.Deviations);
            units.Added[unit] = Plain(figures) - nominal;
            units.Keeps[unit] = limits.Judge(figures, workspace).Broken == 0;
        }

        return units;
    }

    private static (double Weight, CostWorkspace Room)[] Rooms(IReadOnlyList<Scenario> scenarios, Problem bare) =>
        [.. scenarios.Select(scenario => (scenario.Weight, new CostWorkspace(new ProblemTables(scenario.Of(bare), PointsPerOctave))))];

    private static double Mean((double Weight, CostWorkspace Room)[] rooms, Earpiece earpiece)
    {
        double sum = 0, weights = 0;
        foreach ((double weight, CostWorkspace room) in rooms)
        {
            KernelWay[] ways = room.Tables.Ways(earpiece);
            sum += weight * Plain(CostFunction.Evaluate(ways, room, null, [], []));
            weights += weight;
        }

        return sum / weights;
    }

    /// <summary>What each unit adds to the cost as drawn, and whether it keeps every limit.</summary>
    private sealed record Units(double[] Added, bool[] Keeps)
    {
        public SpreadEstimate Yield => SpreadEstimate.Share(Keeps.Count(keeps => keeps), Keeps.Length);

        public IEnumerable<double> Penalised => Added.Zip(Keeps, (added, keeps) => added + (keeps ? 0 : 1));
    }
}
