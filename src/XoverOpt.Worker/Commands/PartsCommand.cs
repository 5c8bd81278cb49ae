using System.CommandLine;
using System.Text;
using System.Text.Json;
using XoverOpt.Worker.Analyses;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Worker.Commands;

/// <summary><c>parts BUILD --job JOB</c> or <c>parts --run ID --rank N</c>: what to buy for so many sets, and whether it is there in time.</summary>
internal static class PartsCommand
{
    private const string About = "The parts of a build for so many sets: need, stock, order, price, and whether they are there in time.";

    private const string Guide =
        """
        Counts and prices are those of the drawer as it stands now, with its stock book; what is set aside for other builds is not to be had,
        what is set aside for this one is. With --run the drawer is the worker's. Prices are for what is ordered, price breaks included;
        what lies on the shelf is valued at the price of one. Dates count calendar days from the order to the shelf; building takes its own time.

        Examples:
          xoveropt parts out/stage/builds/02.json --job jobs/stage.json --sets 25 --by 2026-12-15
          xoveropt parts out/stage/builds/02.json --job jobs/stage.json --sets 25 --csv order.csv --decimal comma
          xoveropt parts --run 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11 --rank 2 --sets 25 --by 2026-12-15

        Exit codes: 0 they are there in time, or no day was named; 1 the input is wrong; 2 they are not, or it cannot be told, or no worker answers.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string?> build = new("BUILD") { Description = "The build file.", Arity = ArgumentArity.ZeroOrOne };
        Option<string?> job = new("--job") { Description = "Its job, which names the drawer.", HelpName = "JOB" };
        Option<string?> run = new("--run") { Description = "In place of files: a run of the worker.", HelpName = "ID" };
        Option<int> rank = new("--rank") { Description = "The rank of the build in that run; the best if left out.", HelpName = "N", DefaultValueFactory = _ => 1 };
        Option<bool> json = new("--json") { Description = "Print JSON." };
        Option<string?> csv = new("--csv") { Description = "Write the list as CSV here.", HelpName = "FILE" }, sign = SheetOptions.Decimal("a point if left out");
        PartsOptions options = new();
        rank.Allow(place => place >= 1, "1 or more");
        GuidedCommand command = new("parts", About, Guide) { build, job, run, rank };
        foreach (Option option in (Option[])[.. options.Counting, .. options.Dating, json, csv, sign])
        {
            command.Add(option);
        }

        command.Validators.Add(result =>
        {
            bool files = result.GetValue(build) is not null && result.GetValue(job) is not null, neither = result.GetValue(build) is null && result.GetValue(job) is null;
            if (result.GetValue(run) is null ? !files : !neither)
            {
                result.AddError("BUILD, --job, --run: allowed: a build with its job, or a run of the worker.");
            }
        });
        return WorkerLink.Command(command, async (parsed, link, end) =>
        {
            PartsQuestion question = options.Question(parsed);
            Reading<PartsView> view = parsed.GetValue(run) is { } id
                ? new(JsonSerializer.Deserialize<PartsView>(
                    await link.Send(HttpMethod.Get, FormattableString.Invariant($"/api/jobs/{Uri.EscapeDataString(id)}/builds/{parsed.GetValue(rank)}/parts?{question.ToQuery()}"), end).ConfigureAwait(false), ApiJson.Options), [])
                : Here(parsed.GetValue(build)!, parsed.GetValue(job)!, question);
            return view.IsGood ? Show(view.Value, parsed.GetValue(json), parsed.GetValue(csv), SheetDialect.Named(parsed.GetValue(sign)) ?? SheetDialect.Point) : CommandLine.Refuse(view.Faults);
        });
    }

    private static Reading<PartsView> Here(string build, string job, PartsQuestion question)
    {
        Reading<BuildInJob> built = BuildInJob.Read(build, job);
        return built.IsGood
            ? new(PartsView.Of(
                PartsView.Label(built.Value.Build.Rank, built.Value.Job.Problem.Name),
                built.Value.Build.Earpiece,
                built.Value.Job.Inventory,
                question.Order(built.Value.Job.Problem.Limits, TimeProvider.System)), [])
            : new(null, built.Faults);
    }

    private static int Show(PartsView view, bool json, string? csv, SheetDialect dialect)
    {
        if (csv is not null)
        {
            SheetOptions.Write(csv, dialect, PartsSheet.Rows(view.Parts));
        }

        Console.OutputEncoding = Encoding.UTF8;
        Console.WriteLine(json ? JsonSerializer.Serialize(view, ApiJson.Options) : string.Join('\n', PartsText.Lines(view)));
        return view.Parts.Order.NeededBy is null || view.Parts.InTime == true ? ExitCode.Done : ExitCode.CouldNotBeDone;
    }
}
