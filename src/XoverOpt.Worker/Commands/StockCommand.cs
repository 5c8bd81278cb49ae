using System.CommandLine;
using System.Text;
using System.Text.Json;
using XoverOpt.Worker.Analyses;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Purchasing;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Worker.Commands;

/// <summary><c>stock export|import|history|reserve|release</c>: counts, prices and what is set aside.</summary>
internal static class StockCommand
{
    private const string About = "Counts and prices of a drawer: out as CSV, in again, what is set aside for builds, and who changed what.";

    private const string Guide =
        """
        Changes go to stock-book.json in the drawer's folder and lie over the catalogue, which stays as it was written; stock-history.jsonl keeps who
        changed what. A sheet to import may be a whole export or only a column "part" and one of stock, unit price, pack size, lead time days or
        price breaks (such as "100 at 8.40 / 500 at 7.90", or none); an empty cell leaves its value as it is. With any fault nothing is written.
        The column revision of an export lets two people change different parts at the same time; a clash over one value is a fault for the later.
        Parts set aside are not to be had for other builds in parts lists; a search still counts them, since they are on the shelf.

        Examples:
          xoveropt stock export --csv stock.csv --decimal comma
          xoveropt stock import stock.csv --by Anna --dry-run
          xoveropt stock import stock.csv --by Anna
          xoveropt stock reserve out/stage/builds/02.json --job jobs/stage.json --sets 25 --by Anna
          xoveropt stock release r12 --by Anna --built          built: its parts go off the shelf
          xoveropt stock history --part OS-L2

        Exit codes: 0 done; 1 the input is wrong or parts are short; 2 the drawer cannot be written.
        """;

    /// <summary>The command.</summary>
    public static Command Create() => new GuidedCommand("stock", About, Guide) { Export(), Import(), History(), Reserve(), Release() };

    private static GuidedCommand Export()
    {
        Option<string> drawer = Drawer();
        Option<string?> csv = new("--csv") { Description = "Write CSV here; without it a table is printed.", HelpName = "FILE" }, sign = SheetOptions.Decimal("a point if left out");
        GuidedCommand command = new("export", "Shows the stock, or writes it as CSV.", Guide) { drawer, csv, sign };
        command.SetAction(parsed =>
        {
            string folder = parsed.GetRequiredValue(drawer);
            Reading<Inventory> stock = InventoryFile.Read(folder);
            Reading<StockBook> book = StockBookFile.In(folder);
            if (!stock.IsGood || !book.IsGood)
            {
                return CommandLine.Refuse([.. stock.Faults, .. book.Faults]);
            }

            if (parsed.GetValue(csv) is { } path)
            {
                SheetDialect dialect = SheetDialect.Named(parsed.GetValue(sign)) ?? SheetDialect.Point;
                SheetOptions.Write(path, dialect, StockSheet.Rows(stock.Value, book.Value.Revision, dialect));
                return ExitCode.Done;
            }

            return Print(StockText.Stock(stock.Value, book.Value.Revision));
        });
        return command;
    }

    private static GuidedCommand Import()
    {
        Argument<string> csv = new("CSV") { Description = "The sheet." };
        Option<string> drawer = Drawer(), by = By();
        Option<string?> sign = SheetOptions.Decimal("told by what parts the cells if left out");
        Option<bool> dry = new("--dry-run") { Description = "Say what would change, and every fault; write nothing." };
        GuidedCommand command = new("import", "Reads counts and prices in from CSV.", Guide) { csv, drawer, by, sign, dry };
        command.SetAction(parsed =>
        {
            string path = parsed.GetRequiredValue(csv);
            FaultList unreadable = new();
            if (JsonSource.ReadBytes(path, unreadable) is not { } bytes)
            {
                return CommandLine.Refuse(unreadable.Items);
            }

            bool dryRun = parsed.GetValue(dry);
            Reading<StockImport> import = Desk(parsed.GetRequiredValue(drawer)).Import(bytes, path, SheetDialect.Named(parsed.GetValue(sign)), parsed.GetRequiredValue(by), dryRun);
            return import.IsGood ? Print(StockText.Import(import.Value, dryRun)) : CommandLine.Refuse(import.Faults);
        });
        return command;
    }

    private static GuidedCommand History()
    {
        Option<string> drawer = Drawer();
        Option<string?> part = new("--part") { Description = "Of one part only.", HelpName = "PART" };
        Option<bool> json = new("--json") { Description = "Print JSON." };
        GuidedCommand command = new("history", "Who changed what, oldest first.", Guide) { drawer, part, json };
        command.SetAction(parsed =>
        {
            Reading<IReadOnlyList<StockEvent>> history = Desk(parsed.GetRequiredValue(drawer)).History();
            return !history.IsGood ? CommandLine.Refuse(history.Faults)
                : Print(parsed.GetValue(json) ? [JsonSerializer.Serialize(history.Value, ApiJson.Options)] : StockText.History(history.Value, parsed.GetValue(part)));
        });
        return command;
    }

    private static GuidedCommand Reserve()
    {
        Argument<string> build = new("BUILD") { Description = "The build file." };
        Option<string> job = new("--job") { Description = "Its job.", HelpName = "JOB", Required = true }, by = By();
        Option<string?> drawer = new("--drawer") { Description = "The drawer's folder; the job's if left out.", HelpName = "DIR" };
        Option<bool> what = new("--what-is-there") { Description = "Set aside what there is of parts that are short, rather than nothing of any." };
        PartsOptions options = new();
        GuidedCommand command = new("reserve", "Sets the parts of a build aside.", Guide) { build, job, drawer, by, what };
        foreach (Option option in options.Counting)
        {
            command.Add(option);
        }

        command.SetAction(parsed =>
        {
            string jobPath = parsed.GetRequiredValue(job);
            Reading<BuildInJob> built = BuildInJob.Read(parsed.GetRequiredValue(build), jobPath);
            if (!built.IsGood)
            {
                return CommandLine.Refuse(built.Faults);
            }

            IReadOnlyList<string> folders = parsed.GetValue(drawer) is { } named ? [named] : built.Value.Job.Inventory.Folders;
            if (folders.Count != 1)
            {
                return CommandLine.Refuse([new(jobPath, "/inventory", $"{folders.Count} folders", "an inventory in one folder, which keeps the stock book", "Name the folder with --drawer.")]);
            }

            string label = PartsView.Label(built.Value.Build.Rank, built.Value.Job.Problem.Name);
            PartsOrder order = options.Question(parsed).Order(built.Value.Job.Problem.Limits, TimeProvider.System);
            Reading<Reservation> reserved = Desk(folders[0]).Reserve(built.Value.Build.Earpiece, label, order, parsed.GetRequiredValue(by), parsed.GetValue(what));
            return reserved.IsGood ? Print([StockText.One(reserved.Value)]) : CommandLine.Refuse(reserved.Faults);
        });
        return command;
    }

    private static GuidedCommand Release()
    {
        Argument<string> id = new("ID") { Description = "The reservation, such as r12." };
        Option<string> drawer = Drawer(), by = By();
        Option<bool> built = new("--built") { Description = "Its parts were built in: take them off the shelf." };
        GuidedCommand command = new("release", "Ends a reservation.", Guide) { id, drawer, by, built };
        command.SetAction(parsed =>
        {
            string name = parsed.GetRequiredValue(id);
            Reading<Reservation> released = Desk(parsed.GetRequiredValue(drawer)).Release(name, parsed.GetRequiredValue(by), parsed.GetValue(built));
            return released.IsGood ? Print([StockText.One(released.Value) + (parsed.GetValue(built) ? "; taken off the shelf" : "; free again")])
                : CommandLine.Refuse(released.Faults.Count > 0 ? released.Faults : [new("ID", "", $"'{name}'", "a reservation of this drawer", "stock export lists them.")]);
        });
        return command;
    }

    private static StockDesk Desk(string folder) => new(folder, TimeProvider.System);

    private static Option<string> Drawer() => new("--drawer") { Description = "The drawer's folder.", HelpName = "DIR", DefaultValueFactory = _ => "driverlib" };

    private static Option<string> By() => new("--by") { Description = "Who you are; kept in the history.", HelpName = "NAME", Required = true };

    private static int Print(IEnumerable<string> lines)
    {
        Console.OutputEncoding = Encoding.UTF8;
        Console.WriteLine(string.Join('\n', lines));
        return ExitCode.Done;
    }
}
