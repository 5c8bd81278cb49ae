using System.CommandLine;
using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;
using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Commands;

/// <summary><c>solve JOB</c>: runs a job here, shows how it goes, prints and writes what was found.</summary>
internal static class SolveCommand
{
    private const string About = "Runs a job here, prints the ranked builds and writes them to a folder.";

    private const string Guide =
        """
        Writes DIR/builds/NN.json, DIR/result.json and DIR/report.txt. Ctrl-C ends the search early and keeps the best so far.
        One job and one seed give the same builds every time, whatever the number of threads, unless the minutes run out or
        it is stopped. Then result.json says at which count of evaluations it ended, and --end-after with that number gives them again.

        Examples:
          xoveropt solve jobs/stage.json
          xoveropt solve jobs/stage.json --out out/try2 --evaluations 2000000 --seed 11

        Exit codes: 0 done; 1 the job is wrong; 2 nothing found keeps the limits (the message says which); 130 stopped.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> job = new("JOB") { Description = "The job file." };
        Option<string?> output = new("--out") { Description = "Where to write; out/<job file name> if left out.", HelpName = "DIR" };
        Option<long?> evaluations = new("--evaluations") { Description = "About the most evaluations of an earpiece, in place of the job's.", HelpName = "N" };
        Option<ulong?> seed = new("--seed") { Description = "Seed of all randomness, in place of the job's.", HelpName = "N" };
        Option<int> threads = new("--threads")
        {
            Description = "Threads that evaluate at once; changes the time, not the result.",
            HelpName = "N",
            DefaultValueFactory = _ => Environment.ProcessorCount,
        };
        Option<long?> endAfter = new("--end-after") { Description = "Ends the search once so many evaluations are told, as an earlier run was ended; the minutes do not count then.", HelpName = "N" };
        endAfter.Allow(count => count is null or >= 0, "0 or more");
        evaluations.Allow(count => count is null or >= 1, "1 or more");
        threads.Allow(count => count >= 1, "1 or more");
        GuidedCommand command = new("solve", About, Guide) { job, output, evaluations, seed, endAfter, threads };
        command.SetAction(parsed => Run(
            parsed.GetRequiredValue(job),
            parsed.GetValue(output),
            parsed.GetValue(evaluations),
            parsed.GetValue(seed),
            parsed.GetValue(endAfter),
            new RunPace { Threads = parsed.GetValue(threads) }));
        return command;
    }

    private static int Run(string jobPath, string? output, long? evaluations, ulong? seed, long? endAfter, RunPace pace)
    {
        Reading<JobDocument> reading = JobFile.Read(jobPath);
        IReadOnlyList<Fault> faults = reading.IsGood ? NotYet.Faults(reading.Value, jobPath) : reading.Faults;
        if (faults.Count > 0)
        {
            return CommandLine.Refuse(faults);
        }

        Problem problem = reading.Value!.Problem;
        problem = problem with
        {
            Effort = problem.Effort with
            {
                Evaluations = evaluations ?? problem.Effort.Evaluations,
                Seed = seed ?? problem.Effort.Seed,
                EndAfter = endAfter ?? problem.Effort.EndAfter,
            },
        };

        if (reading.Value.Schedule != new JobSchedule())
        {
            Console.Error.WriteLine($"{jobPath} at /schedule: not heeded here, the search begins now; a schedule is for the worker (submit).");
        }

        // Whether it can be written is found out before the work, not after it.
        ResultFolder folder = ResultFolder.Make(output ?? ResultFolder.DefaultPath(Path.GetFileNameWithoutExtension(jobPath)));
        SearchResult result = Search(problem, pace);

        folder.Write(result, problem, reading.Value.SelfContainedJson);
        bool terminal = !Console.IsOutputRedirected;
        Console.OutputEncoding = Encoding.UTF8;
        foreach (string line in Report.Lines(result, problem, terminal ? Math.Max(Console.WindowWidth - 1, Report.Width) : Report.Width))
        {
            Console.WriteLine(line);
        }

        Console.WriteLine();
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{result.Builds.Count} builds written to {folder.Path}"));
        if (result.EndedAtEvaluations is { } ended)
        {
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"The same command with --end-after {ended} gives these builds again."));
        }

        return result.Reason == StopReason.Stopped ? ExitCode.Stopped
            : RunVerdict.Complaint(result) is { } complaint ? CommandLine.Fail(complaint)
            : ExitCode.Done;
    }

    private static SearchResult Search(Problem problem, RunPace pace)
    {
        using CancellationTokenSource stop = new();

        // The first signal ends the search and keeps the best so far; a second one ends the program.
        void OnSignal(PosixSignalContext signal)
        {
            signal.Cancel = !stop.IsCancellationRequested;
            stop.Cancel();
        }

        using var interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, OnSignal);
        using var terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, OnSignal);
        return SolveProgress.Show(onProgress => new SearchRun(problem, pace, TimeProvider.System) { OnProgress = onProgress }.Run(stop.Token));
    }
}
