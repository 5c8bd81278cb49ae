using System.CommandLine;
using System.Text;
using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Commands;

/// <summary><c>spread BUILD… --job JOB</c>: what becomes of builds when their parts vary.</summary>
internal static class SpreadCommand
{
    private const string About = "Draws many built units of a build from the spread of its parts and says how many keep the limits, how left and right differ, and which parts are to blame.";

    private const string Guide =
        """
        Several builds meet the same draws, so that the difference between their yields is surer than either yield.
        Receivers vary by the "spread" of the drawer, other parts within their "tolerancePercent", tubes by the cutting error. Of a part of
        which nothing is stated a usual spread is assumed, and it is named with what was assumed.
        A receiver of 0.5 dB more sensitivity has just that at 500 Hz from a stiff source; its resonance moves by the moving mass.

        Examples:
          xoveropt spread out/stage/builds/01.json --job jobs/stage.json
          xoveropt spread out/stage/builds/0[1-3].json --job jobs/stage.json --samples 2000 --side-limit 1.5
          xoveropt spread out/stage/builds/01.json --job jobs/stage.json --limits bench/01.csv

        Exit codes: 0 done; 1 a build or the job is wrong; 2 the limits file cannot be written.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        SpreadSettings usual = new();
        Argument<string[]> builds = new("BUILD") { Description = "The build files.", Arity = ArgumentArity.OneOrMore };
        Option<string> job = new("--job") { Description = "The job they are judged by.", HelpName = "JOB", Required = true };
        Option<int> samples = new("--samples") { Description = "Built units to draw of each, an even number; two in a row make a set.", HelpName = "N", DefaultValueFactory = _ => usual.Samples };
        Option<ulong> seed = new("--seed") { Description = "Seed of all draws.", HelpName = "N", DefaultValueFactory = _ => usual.Seed };
        Option<double> side = new("--side-limit") { Description = "Largest level difference between left and right.", HelpName = "DB", DefaultValueFactory = _ => usual.SideLimitDb };
        Option<double> coverage = new("--coverage") { Description = "Units between low and high at each frequency.", HelpName = "PERCENT", DefaultValueFactory = _ => 100 * usual.Coverage };
        Option<double?> cut = new("--cut-error") { Description = "Half-width of the cutting error of tubes; half the cutting step if left out.", HelpName = "MM" };
        Option<string> receivers = Shape("--receiver-shape", "How receivers are distributed", usual.Receivers);
        Option<string> tolerances = Shape("--tolerance-shape", "How resistors, capacitors, coils and dampers are distributed", usual.Tolerances);
        Option<int> threads = new("--threads") { Description = "Threads that work at once; changes the time, not the result.", HelpName = "N", DefaultValueFactory = _ => Environment.ProcessorCount };
        Option<string?> limits = new("--limits") { Description = "Write limits for the test bench there (CSV); one build only.", HelpName = "FILE" };
        Option<double> allowance = new("--allowance") { Description = "What the measured level may be off, added to those limits.", HelpName = "DB", DefaultValueFactory = _ => TestLimits.UsualAllowanceDb };
        Option<bool> json = new("--json") { Description = "Print JSON with all figures by frequency." };
        samples.Allow(SamplesAreAllowed, SamplesAllowed);
        side.Allow(db => db is > 0 and <= 40, "above 0, at most 40 dB");
        coverage.Allow(percent => percent is >= 50 and <= 99.9, "50 to 99.9 %");
        cut.Allow(mm => mm is null or (>= 0 and <= 5), "0 to 5 mm");
        threads.Allow(count => count >= 1, "1 or more");
        allowance.Allow(db => db is >= 0 and <= 20, "0 to 20 dB");
        GuidedCommand command = new("spread", About, Guide) { builds, job, samples, seed, side, coverage, cut, receivers, tolerances, threads, limits, allowance, json };
        command.SetAction(parsed => Run(
            parsed.GetRequiredValue(builds),
            parsed.GetRequiredValue(job),
            new SpreadSettings
            {
                Samples = parsed.GetValue(samples),
                Seed = parsed.GetValue(seed),
                SideLimitDb = parsed.GetValue(side),
                Coverage = parsed.GetValue(coverage) / 100,
                CutError = parsed.GetValue(cut) is { } mm ? Units.FromMm(mm) : null,
                Receivers = Of(parsed.GetRequiredValue(receivers)),
                Tolerances = Of(parsed.GetRequiredValue(tolerances)),
            },
            parsed.GetValue(threads),
            parsed.GetValue(limits),
            parsed.GetValue(allowance),
            parsed.GetValue(json)));
        return command;
    }

    /// <summary>What the number of samples may be, in words.</summary>
    internal static string SamplesAllowed { get; } = Numbers.Invariant($"an even number from {SpreadStudy.FewestSamples} to {SpreadStudy.MostSamples}");

    /// <summary>What the number of samples may be.</summary>
    internal static bool SamplesAreAllowed(int count) => count is >= SpreadStudy.FewestSamples and <= SpreadStudy.MostSamples && count % 2 == 0;

    private static Option<string> Shape(string name, string what, SpreadShape usual)
    {
        string[] words = [.. SpreadFile.Shapes.Select(shape => shape.Word)];
        Option<string> option = new(name) { Description = $"{what}: {string.Join(", ", words)}.", HelpName = "SHAPE", DefaultValueFactory = _ => SpreadFile.Word(usual) };
        option.Allow(word => words.Contains(word), string.Join(", ", words));
        return option;
    }

    private static SpreadShape Of(string word) => SpreadFile.Shapes.First(shape => shape.Word == word).Shape;

    private static int Run(string[] buildPaths, string jobPath, SpreadSettings settings, int threads, string? limitsPath, double allowance, bool json)
    {
        if (limitsPath is not null && buildPaths.Length > 1)
        {
            return CommandLine.Refuse([new Fault("--limits", "", $"limits asked for of {buildPaths.Length} builds", "limits of one build", "Run it once for each.")]);
        }

        List<BuildInJob> builds = [];
        List<Fault> faults = [];
        foreach (string path in buildPaths)
        {
            Reading<BuildInJob> reading = BuildInJob.Read(path, jobPath);
            faults.AddRange(reading.Faults.Where(fault => !faults.Contains(fault)));
            if (reading.IsGood)
            {
                builds.Add(reading.Value);
            }
        }

        if (faults.Count > 0)
        {
            return CommandLine.Refuse(faults);
        }

        Problem problem = builds[0].Job.Problem;
        Earpiece[] earpieces = [.. builds.Select(build => build.Build.Earpiece)];
        IReadOnlyList<SpreadResult> results = SpreadRun.Of(problem, earpieces, settings, threads);
        Console.OutputEncoding = Encoding.UTF8;
        if (limitsPath is not null)
        {
            if (Path.GetDirectoryName(Path.GetFullPath(limitsPath)) is { } folder)
            {
                Directory.CreateDirectory(folder);
            }

            File.WriteAllText(limitsPath, LimitsFile.Write(TestLimits.Of(results[0], allowance), problem), new UTF8Encoding(false));
        }

        if (json)
        {
            Console.Write(SpreadFile.Write(results, buildPaths, problem));
            return ExitCode.Done;
        }

        IEnumerable<string> lines = SpreadText.Lines(results, buildPaths, problem);
        foreach (string line in limitsPath is null ? lines : lines.Append("").Append($"limits for the test bench written to {limitsPath}"))
        {
            Console.WriteLine(line);
        }

        return ExitCode.Done;
    }
}
