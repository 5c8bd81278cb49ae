using System.CommandLine;
using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;
using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Changes;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Commands;

/// <summary><c>solve JOB</c>: runs a job here, shows how it goes, prints and writes what was found.</summary>
internal static class SolveCommand
{
    private const string About = "Runs a job here, prints the ranked builds and writes them to a folder.";

    private const string Guide =
        """
        Writes DIR/builds/NN.json, DIR/result.json and DIR/report.txt, and the job and drawer as they were. Ctrl-C ends the search early and keeps the best so far.
        One job and one seed give the same builds every time, whatever the number of threads, unless the minutes run out or
        it is stopped. Then result.json says at which count of evaluations it ended, and --end-after with that number gives them again.

        Examples:
          xoveropt solve jobs/stage.json
          xoveropt solve jobs/stage.json --out out/try2 --evaluations 2000000 --seed 11
          xoveropt solve jobs/stage.json --warm out/stage --out out/stage2   the drawer changed: begin from the builds of before

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
        Option<string?> warm = new("--warm") { Description = "Begin from the builds of an earlier run: its folder or result.json. Those that the job and drawer still allow are kept or bettered.", HelpName = "FOLDER" };
        endAfter.Allow(count => count is null or >= 0, "0 or more");
        evaluations.Allow(count => count is null or >= 1, "1 or more");
        threads.Allow(count => count >= 1, "1 or more");
        GuidedCommand command = new("solve", About, Guide) { job, output, warm, evaluations, seed, endAfter, threads };
        command.SetAction(parsed => Run(
            parsed.GetRequiredValue(job),
            parsed.GetValue(output),
            parsed.GetValue(warm),
            parsed.GetValue(evaluations),
            parsed.GetValue(seed),
            parsed.GetValue(endAfter),
            new RunPace { Threads = parsed.GetValue(threads) }));
        return command;
    }

    private static int Run(string jobPath, string? output, string? warm, long? evaluations, ulong? seed, long? endAfter, RunPace pace)
    {
        Reading<JobDocument> reading = JobFile.Read(jobPath);
        if (reading.IsGood && warm is not null)
        {
            reading = Warm(reading.Value, warm);
        }

        if (!reading.IsGood)
        {
            return CommandLine.Refuse(reading.Faults);
        }

        Problem problem = reading.Value.Problem;
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

    /// <summary>The job with the builds of an earlier run to begin from.</summary>
    private static Reading<JobDocument> Warm(JobDocument job, string earlier)
    {
        FaultList faults = new();
        IReadOnlyList<(string Name, string Text)> builds = RunFolder.Builds(earlier, faults);
        foreach ((string name, string text) in builds)
        {
            _ = JsonSource.Parse(name, Encoding.UTF8.GetBytes(text), faults)?.AsObject("a build file")?.Format("build/1");
        }

        return faults.Count > 0
            ? faults.End<JobDocument>(null)
            : JobFile.ReadPosted(Encoding.UTF8.GetBytes(JobEdit.WithKnown(job.SelfContainedJson, earlier, builds.Select(build => build.Text))), "");
    }

    /// <summary>Searches, and ends with the best so far at a signal.</summary>
    internal static SearchResult Search(Problem problem, RunPace pace)
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
