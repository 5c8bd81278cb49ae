using XoverOpt.Search;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Text;

/// <summary>Builds in the order in which they hold up.</summary>
internal static class RobustText
{
    /// <summary>Its lines.</summary>
    /// <param name="builds">The builds, ranked by <see cref="RobustRanking"/>.</param>
    /// <param name="name">What the build of a key is called.</param>
    /// <param name="problem">The job.</param>
    public static IEnumerable<string> Lines(IReadOnlyList<RankedBuild> builds, Func<string, string> name, Problem problem)
    {
        RobustRankingGoal goal = problem.Robust!;
        yield return $"{problem.Name}: {goal.Samples} built units of each build, the same draws for all, seed {problem.Effort.Seed}; weight {Numbers.Part(goal.Weight)}";
        yield return "";
        yield return $"  {"#",3}{"drawn",7}{"fits",6}{"score",8}{"behind",16}{"cost",8}{"parts",8}{"ears",8}{"sources",9}{"yield",15}  build";
        foreach (RankedBuild build in builds)
        {
            RobustRankingFigures figures = build.Robust!;
            string behind = build.Rank == 1 || figures.Behind is not { } apart ? "" : $"{Numbers.Fixed(apart.Value, 3)} ± {Numbers.Fixed(apart.StandardError, 3)}{(figures.IsTold ? " " : "?")}";
            string yield = figures.Yield is { } share ? $"{Numbers.Fixed(100 * share.Value, 1)} ± {Numbers.Fixed(100 * share.StandardError, 1)} %" : "";
            yield return $"  {build.Rank,3}{figures.NominalRank,7}{(build.Feasible ? "yes" : "no"),6}{Numbers.Fixed(figures.Score, 3),8}{behind,16}{Numbers.Fixed(figures.NominalCost, 3),8}"
                + $"{Added(figures.SpreadCost?.Value),8}{Added(figures.EarsCost),8}{Added(figures.SourcesCost),9}{yield,15}  {name(build.Key)}";
        }

        yield return "";
        IEnumerable<string> ending =
        [
            RobustRanking.Words(builds)!,
            "",
            "drawn: rank by cost as drawn. cost: as drawn, without penalties; parts, ears, sources: what each adds to it on average. score: cost and these, and the share of units that break a "
            + "limit. behind: score less that of the first, with its standard error on the same draws; ? within two of them, so not told apart.",
            BuildFile.Caution,
            Report.Model,
        ];
        foreach (string line in ending.SelectMany(line => Report.Wrap(line, Report.Width)))
        {
            yield return line;
        }
    }

    private static string Added(double? cost) => cost is { } added ? ChangeRows.Signed(added, 3) : "";
}
