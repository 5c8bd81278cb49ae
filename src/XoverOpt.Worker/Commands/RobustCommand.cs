using System.CommandLine;
using System.Text;
using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary><c>robust BUILD… --job JOB</c>: which of several builds holds up best.</summary>
internal static class RobustCommand
{
    private const string About = "Ranks builds by what is to be expected of them when parts, ears and sources vary, as a search does whose job asks for it, and says how sure the order is.";

    private const string Guide =
        """
        Score: the cost as drawn, what the spread of parts, other ears and other sources add to it on average, and the share of units that
        break a limit. All builds meet the same draws, so that the error of a difference in score is smaller than that of either.
        What the job's "robust" says holds unless an option says otherwise.

        Examples:
          xoveropt robust out/stage/builds/*.json --job jobs/stage.json
          xoveropt robust out/stage/builds/0[1-5].json --job jobs/stage.json --samples 4000

        Exit codes: 0 done; 1 a build, the job or an option is wrong.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string[]> builds = new("BUILD") { Description = "The build files.", Arity = ArgumentArity.OneOrMore };
        Option<string> job = new("--job") { Description = "The job they are judged by.", HelpName = "JOB", Required = true };
        Option<int?> samples = new("--samples") { Description = "Built units to draw of each.", HelpName = "N" };
        Option<double?> weight = new("--weight") { Description = "Above 0, at most 1: only what is to be expected counts.", HelpName = "W" };
        samples.Allow(count => count is null || SpreadCommand.SamplesAreAllowed(count.Value), SpreadCommand.SamplesAllowed);
        weight.Allow(share => share is null or (> 0 and <= 1), "above 0, at most 1");
        GuidedCommand command = new("robust", About, Guide) { builds, job, samples, weight };
        command.SetAction(parsed => Run(parsed.GetRequiredValue(builds), parsed.GetRequiredValue(job), parsed.GetValue(samples), parsed.GetValue(weight)));
        return command;
    }

    private static int Run(string[] paths, string jobPath, int? samples, double? weight)
    {
        List<Fault> faults = [];
        List<(string Name, BuildInJob Build)> builds = [];
        foreach (string path in paths)
        {
            Reading<BuildInJob> reading = BuildInJob.Read(path, jobPath);
            faults.AddRange(reading.Faults);
            if (reading.IsGood)
            {
                builds.Add((path, reading.Value));
            }
        }

        if (faults.Count > 0)
        {
            return CommandLine.Refuse([.. faults.Distinct()]);
        }

        Problem problem = builds[0].Build.Job.Problem;
        RobustRankingGoal goal = problem.Robust ?? new();
        problem = problem with { Robust = goal with { Samples = samples ?? goal.Samples, Weight = weight ?? goal.Weight } };
        var evaluation = new BuildEvaluation(problem);
        var names = builds.Select(build => (build.Name, Judged: evaluation.Judge(build.Build.Build.Earpiece))).DistinctBy(build => build.Judged.Key).ToDictionary(build => build.Judged.Key);
        IReadOnlyList<RankedBuild> drawn = [.. names.Values.Select(build => build.Judged).Order(BuildRanking.Order).Select((build, i) => build with { Rank = i + 1 })];
        Console.OutputEncoding = Encoding.UTF8;
        foreach (string line in RobustText.Lines(RobustRanking.Of(problem, drawn), key => names[key].Name, problem))
        {
            Console.WriteLine(line);
        }

        return ExitCode.Done;
    }
}
