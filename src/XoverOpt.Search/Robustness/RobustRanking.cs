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
        IEnumerable<RankedBuild> judged = builds.Select(build =>
        {
            var parts = new PartSpread(build.Earpiece, problem, new SpreadSettings());
            var workspace = new SpreadWorkspace(own, build.Earpiece, parts);
            double nominal = Plain(workspace.Evaluate(new double[parts.Parts.Count]));
            (SpreadEstimate Cost, SpreadEstimate Yield)? spread = goal.Spread ? Spread(problem, build.Earpiece, parts, workspace, goal.Samples, nominal) : null;
            double? other = goal.Ears ? Mean(ears, build.Earpiece) - nominal : null, sourced = goal.Sources ? Mean(sources, build.Earpiece) - nominal : null;
            var figures = new RobustRankingFigures(build.Rank, 0, nominal, spread?.Cost, other, sourced, spread?.Yield);
            double score = ((1 - goal.Weight) * nominal) + (goal.Weight * (figures.ExpectedCost + 1 - (spread?.Yield.Value ?? 1)));
            return build with { Robust = figures with { Score = double.IsFinite(score) ? score : double.PositiveInfinity } };
        });
        return [.. judged.OrderByDescending(build => build.Feasible).ThenBy(build => build.Robust!.Score).ThenBy(build => build, BuildRanking.Order).Select((build, i) => build with { Rank = i + 1 })];
    }

    /// <summary>Whether the robust winner is the nominal one, and why not, in a sentence; null where the job did not ask.</summary>
    public static string? Words(IReadOnlyList<RankedBuild> builds)
    {
        if (builds.Count == 0 || builds[0].Robust is not { } best)
        {
            return null;
        }

        RankedBuild nominal = builds.First(build => build.Robust!.NominalRank == 1);
        if (nominal.Rank == 1)
        {
            return string.Create(CultureInfo.InvariantCulture, $"The build of least cost as drawn also holds up best ({Figures(best)}).");
        }

        RobustRankingFigures other = nominal.Robust!;
        (string Cause, double Gain)[] causes =
        [
            ("more of its units keep the limits", (best.Yield?.Value ?? 0) - (other.Yield?.Value ?? 0)),
            ("its response moves less as parts vary", (other.SpreadCost?.Value ?? 0) - (best.SpreadCost?.Value ?? 0)),
            ("it moves less from ear to ear", (other.EarsCost ?? 0) - (best.EarsCost ?? 0)),
            ("it moves less from source to source", (other.SourcesCost ?? 0) - (best.SourcesCost ?? 0)),
        ];
        return string.Create(
            CultureInfo.InvariantCulture,
            $"The build of least cost as drawn is not the one that holds up best: it is build {nominal.Rank} here ({Figures(other)}); build 1, which was {best.NominalRank} by its own cost, goes before it ({Figures(best)}), most of all because {causes.MaxBy(cause => cause.Gain).Cause}.");
    }

    private static string Figures(RobustRankingFigures figures) => string.Create(
        CultureInfo.InvariantCulture,
        $"cost {figures.NominalCost:0.000} as drawn, {figures.ExpectedCost:0.000} expected{(figures.Yield is { } yield ? string.Create(CultureInfo.InvariantCulture, $", yield {100 * yield.Value:0.0} ± {100 * yield.StandardError:0.0} %") : "")}");

    private static double Plain(CostFigures figures) => figures.Cost.Total - figures.Cost.Penalty;

    private static (SpreadEstimate Cost, SpreadEstimate Yield) Spread(
        Problem problem, Earpiece earpiece, PartSpread parts, SpreadWorkspace workspace, int samples, double nominal)
    {
        var limits = new YieldLimits(problem, earpiece);
        double[] costs = new double[samples];
        int kept = 0;
        for (int unit = 0; unit < samples; unit++)
        {
            parts.Draw(problem.Effort.Seed, unit, workspace.Deviations);
            CostFigures figures = workspace.Evaluate(workspace.Deviations);
            costs[unit] = Plain(figures) - nominal;
            kept += limits.Judge(figures, workspace).Broken == 0 ? 1 : 0;
        }

        return (SpreadEstimate.Mean(costs), SpreadEstimate.Share(kept, samples));
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
}
