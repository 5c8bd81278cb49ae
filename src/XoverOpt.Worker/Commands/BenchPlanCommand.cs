using System.CommandLine;
using System.Text;
using System.Text.Json;
using XoverOpt.Worker.Analyses;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Worker.Commands;

/// <summary><c>bench-plan PLAN</c>: several builds from one stock.</summary>
internal static class BenchPlanCommand
{
    private const string About = "Several builds from one stock: one order for all, the parts they fight for, and what can be built today.";

    private const string Guide =
        """
        A plan, bench-plan/1, names builds with their jobs, or builds of a worker's runs, and the sets of each:

          { "format": "bench-plan/1", "name": "Before the tour", "neededBy": "2026-12-15", "builds": [
            { "build": "out/stage/builds/02.json", "job": "jobs/stage.json", "sets": 25, "priority": 2 },
            { "build": "out/quick/builds/01.json", "job": "jobs/quick.json", "sets": 10 } ] }

        or { "run": "019a7c52-…", "rank": 2, "sets": 25 } in place of build and job. Paths start from the folder of the plan. Packs are shared and
        price breaks count the sum. Of what is on the shelf today the mix makes the most sets, each counted by its priority (1 if left out).
        What is set aside for builds of the plan is to be had for all of them; what is set aside for others is not.

        Examples:
          xoveropt bench-plan tour.json
          xoveropt bench-plan tour.json --csv order.csv --decimal comma

        Exit codes: 0 all parts are there in time, or no day was named; 1 the input is wrong; 2 they are not, or it cannot be told, or no worker answers.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> plan = new("PLAN") { Description = "The plan." };
        Option<bool> json = new("--json") { Description = "Print JSON." };
        Option<string?> csv = new("--csv") { Description = "Write the order as CSV here.", HelpName = "FILE" }, sign = SheetOptions.Decimal("a point if left out");
        return WorkerLink.Command(new GuidedCommand("bench-plan", About, Guide) { plan, json, csv, sign }, async (parsed, link, end) =>
        {
            string path = parsed.GetRequiredValue(plan);
            Reading<BenchPlanDocument> wanted = BenchPlanFile.Read(path);
            if (!wanted.IsGood)
            {
                return CommandLine.Refuse(wanted.Faults);
            }

            bool ofWorker = wanted.Value.Builds.All(build => build.Run is not null);
            Reading<BenchPlanView> view = ofWorker
                ? new(JsonSerializer.Deserialize<BenchPlanView>(
                    await link.Send(HttpMethod.Post, "/api/bench-plan", end, await File.ReadAllBytesAsync(path, end).ConfigureAwait(false)).ConfigureAwait(false), ApiJson.Options), [])
                : Here(wanted.Value, path);
            return view.IsGood ? Show(view.Value, parsed.GetValue(json), parsed.GetValue(csv), SheetDialect.Named(parsed.GetValue(sign)) ?? SheetDialect.Point) : CommandLine.Refuse(view.Faults);
        });
    }

    private static Reading<BenchPlanView> Here(BenchPlanDocument plan, string path)
    {
        List<Fault> faults = [];
        List<WantedBuild> builds = [];
        Inventory? drawer = null;
        for (int b = 0; b < plan.Builds.Count; b++)
        {
            BenchPlanBuild wanted = plan.Builds[b];
            string at = FormattableString.Invariant($"/builds/{b}");
            if (wanted.Build is null)
            {
                faults.Add(new(path, at, "a build of a run beside builds of files", "builds of one kind in a plan"));
                continue;
            }

            Reading<BuildInJob> built = BuildInJob.Read(wanted.Build, wanted.Job!);
            faults.AddRange(built.Faults);
            if (built.IsGood)
            {
                drawer ??= built.Value.Job.Inventory;
                if (built.Value.Job.Inventory.Hash != drawer.Hash)
                {
                    faults.Add(new(path, at + "/job", $"{wanted.Job}, which draws on another inventory", "jobs that draw on one inventory", "One stock is shared out here; make a plan for each drawer."));
                }

                builds.Add(new(Named(builds, PartsView.Label(built.Value.Build.Rank, built.Value.Job.Problem.Name)), built.Value.Build.Earpiece, wanted.Sets, wanted.Priority));
            }
        }

        return faults.Count == 0 ? new(BenchPlanView.Of(plan.Name, BenchPlan.Of(builds, drawer!, Order(plan, TimeProvider.System))), []) : new(null, faults);
    }

    /// <summary>A name that no build before bears.</summary>
    public static string Named(List<WantedBuild> before, string name)
    {
        string free = name;
        for (int k = 2; before.Any(build => build.Name == free); k++)
        {
            free = FormattableString.Invariant($"{name} ({k})");
        }

        return free;
    }

    /// <summary>How the order of a plan is reckoned.</summary>
    public static PartsOrder Order(BenchPlanDocument plan, TimeProvider clock) =>
        new(1, plan.EarpiecesPerSet, plan.CutLossMm, DateOnly.FromDateTime(clock.GetLocalNow().DateTime), plan.NeededBy);

    private static int Show(BenchPlanView view, bool json, string? csv, SheetDialect dialect)
    {
        PartsList order = view.Plan.Together;
        if (csv is not null)
        {
            SheetOptions.Write(csv, dialect, PartsSheet.Rows(order));
        }

        Console.OutputEncoding = Encoding.UTF8;
        Console.WriteLine(json ? JsonSerializer.Serialize(view, ApiJson.Options) : string.Join('\n', BenchPlanText.Lines(view)));
        return order.Order.NeededBy is null || order.InTime == true ? ExitCode.Done : ExitCode.CouldNotBeDone;
    }
}
