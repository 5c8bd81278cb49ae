using System.CommandLine;
using System.Text;
using System.Text.Json;
using XoverOpt.Search;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Matching;

namespace XoverOpt.Worker.Commands;

/// <summary><c>pairs SERIALS.csv</c>: measured receivers sorted into left and right.</summary>
internal static class PairsCommand
{
    private const string About = "Sorts measured receivers into left and right: the most pairs inside a limit, then the least mismatch.";

    private const string Guide =
        """
        The file has a line of headings and a receiver a line: serial, part_number, sensitivity_db (at a stated voltage), resonance_hz,
        dc_resistance_ohm; other columns are passed over. Without a build any two receivers of a part may be a pair; their mismatch is the
        largest of three differences in dB: the sensitivity; with 0.17 dB for each % of resonance; with 0.09 dB for each % of resistance.
        With a build and its job, sets are made of all its ways: several alike on a side count by their mean, and a mismatch is the largest
        difference it makes in the eardrum level over the target's band, way by way.

        Examples:
          xoveropt pairs lot7.csv --limit-db 0.5
          xoveropt pairs lot7.csv --build out/quick/builds/01.json --job jobs/quick.json --sets 10

        Exit codes: 0 done; 1 a file is wrong; 2 fewer sets than asked for.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> serials = new("SERIALS") { Description = "The measured receivers, CSV." };
        Option<double> limit = new("--limit-db") { Description = "Largest mismatch of a pair, dB.", HelpName = "DB", DefaultValueFactory = _ => PairView.UsualLimitDb };
        Option<string?> build = new("--build") { Description = "The build they are for.", HelpName = "BUILD" };
        Option<string?> job = new("--job") { Description = "The job of the build.", HelpName = "JOB" };
        Option<int?> sets = new("--sets") { Description = "Sets wanted; as many as there can be if left out.", HelpName = "N" };
        Option<bool> json = new("--json") { Description = "Print JSON." };
        limit.Allow(db => db is > 0 and <= 100, "above 0, at most 100 dB");
        sets.Allow(count => count is null or >= 1, "1 or more");
        GuidedCommand command = new("pairs", About, Guide) { serials, limit, build, job, sets, json };
        command.Validators.Add(result =>
        {
            if (result.GetValue(build) is null != result.GetValue(job) is null)
            {
                result.AddError("--build and --job: found one without the other; allowed: both or neither.");
            }
        });
        command.SetAction(parsed => Run(
            parsed.GetRequiredValue(serials), parsed.GetValue(limit), parsed.GetValue(build), parsed.GetValue(job), parsed.GetValue(sets), parsed.GetValue(json)));
        return command;
    }

    private static int Run(string serials, double limit, string? build, string? job, int? sets, bool json)
    {
        Reading<IReadOnlyList<MeasuredReceiver>> receivers = SerialsFile.Read(serials);
        Reading<BuildInJob>? built = build is null ? null : BuildInJob.Read(build, job!);
        if (!receivers.IsGood || built is { IsGood: false })
        {
            return CommandLine.Refuse([.. receivers.Faults, .. built?.Faults ?? []]);
        }

        PairPlan plan = built is null
            ? PairSolver.Pairs(receivers.Value, limit, sets)
            : PairSolver.Sets(receivers.Value, MatchGroup.OfBuild(built.Value!.Build.Earpiece, built.Value.Job.Problem), limit, sets);
        Console.OutputEncoding = Encoding.UTF8;
        Console.WriteLine(json ? JsonSerializer.Serialize(PairView.Of(plan), ApiJson.Options) : string.Join('\n', PairText.Lines(plan)));
        int least = built is null && plan.Sets.Count > 0 ? plan.Sets.GroupBy(set => set.Groups[0].Group.PartNumber).Min(part => part.Count()) : plan.Sets.Count;
        return least < sets ? ExitCode.CouldNotBeDone : ExitCode.Done;
    }
}
