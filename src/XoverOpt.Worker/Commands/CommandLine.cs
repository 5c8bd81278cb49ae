using System.CommandLine;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Commands;

/// <summary>The command line: one command a file, errors in one line, no stack traces unless asked for.</summary>
internal static class CommandLine
{
    private const string About =
        "Turns a target eardrum response and a drawer of balanced-armature receivers into ranked, buildable multi-way earpieces.";

    private const string Guide =
        """
        In the examples xoveropt stands for: dotnet run -c Release --project src/XoverOpt.Worker --

        Examples:
          xoveropt check jobs/stage.json driverlib/*.json      is everything in order?
          xoveropt solve jobs/stage.json                       search here, write out/<job name>/
          xoveropt solve jobs/stage.json --warm out/stage --out out/stage2   the drawer changed: go on from the builds of before
          xoveropt changes out/stage out/stage2                what became of the builds, and why
          xoveropt evaluate out/stage/builds/01.json --job jobs/stage.json --hz 500 1000
          xoveropt levels out/stage/builds/01.json --job jobs/stage.json    will it be loud enough, and for how long?
          xoveropt sources out/stage/builds/01.json --job jobs/stage.json   on other amplifiers
          xoveropt ears out/stage/builds/0[123].json --job jobs/stage.json  in other ears: which moves least?
          xoveropt parts out/stage/builds/02.json --job jobs/stage.json --sets 25 --by 2026-12-15   what to buy, and is it there in time?
          xoveropt report out/stage --out stage.html           the whole result as one page
          xoveropt sheet out/stage/builds/01.json --job jobs/stage.json --out stage-01.html   for the bench
          xoveropt serve                                       queue and API at http://127.0.0.1:5080
          xoveropt keys add anna --scope submit                a key to call it with
          xoveropt submit jobs/stage.json --watch              hand a job to the worker, see how it goes

        Units: Hz, dB re 20 µPa, mV and pascal RMS, Ω, µF, mH, mm, cgs acoustic Ω for dampers.
        Exit codes: 0 done; 1 the input is wrong; 2 the work could not be done; 130 stopped.
        """;

    /// <summary>Runs a command.</summary>
    /// <returns>The exit code.</returns>
    public static int Run(string[] args)
    {
        Option<bool> verbose = new("--verbose") { Description = "Show where in the program an unexpected error came from.", Recursive = true };
        RootCommand root = new(About)
        {
            SolveCommand.Create(),
            CheckCommand.Create(),
            EvaluateCommand.Create(),
            LevelsCommand.Create(),
            SourcesCommand.Create(),
            EarsCommand.Create(),
            SpreadCommand.Create(),
            RobustCommand.Create(),
            InspectCommand.Create(),
            PairsCommand.Create(),
            PartsCommand.Create(),
            BenchPlanCommand.Create(),
            StockCommand.Create(),
            SwapCommand.Create(),
            CurveCommand.Create(),
            FitCommand.Create(),
            CostCommand.Create(),
            ReportCommand.Create(),
            SheetCommand.Create(),
            NetlistCommand.Create(),
            DrawingCommand.Create(),
            ServeCommand.Create(),
            KeysCommand.Create(),
            BackupCommand.Create(),
            RestoreCommand.Create(),
            SubmitCommand.Create(),
            WatchCommand.Create(),
            ListCommand.Create(),
            ExportCommand.Create(),
            WhereUsedCommand.Create(),
            RerunCommand.Create(),
            ChangesCommand.Create(),
            ReproduceCommand.Create(),
            verbose,
        };
        foreach (Command command in ControlCommands.Create())
        {
            root.Add(command);
        }

        GuidedCommand.ShowGuides(root, Guide);
        bool tellAll = args.Contains(verbose.Name);
        try
        {
            // The commands that run long watch the signals themselves, so that what was found is kept.
            return root.Parse(args).Invoke(new InvocationConfiguration { EnableDefaultExceptionHandler = false, ProcessTerminationTimeout = null });
        }
        catch (Exception failure) when (failure is StoreException or IOException or UnauthorizedAccessException)
        {
            return Fail(failure.Message);
        }
        catch (Exception failure)
        {
            return Fail(tellAll ? failure.ToString() : $"unexpected: {failure.Message.ReplaceLineEndings(" ")} (--verbose says where)");
        }
    }

    /// <summary>Prints faults.</summary>
    /// <returns>The exit code for a wrong input.</returns>
    public static int Refuse(IReadOnlyList<Fault> faults)
    {
        foreach (Fault fault in faults)
        {
            Console.Error.WriteLine(fault.Message);
        }

        return ExitCode.WrongInput;
    }

    /// <summary>Prints what went wrong.</summary>
    /// <returns>The exit code for work that could not be done.</returns>
    public static int Fail(string message)
    {
        Console.Error.WriteLine($"xoveropt: {message}");
        return ExitCode.CouldNotBeDone;
    }
}
