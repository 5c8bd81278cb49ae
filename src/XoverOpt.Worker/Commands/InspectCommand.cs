using System.CommandLine;
using System.Text;
using System.Text.Json;
using XoverOpt.Search;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary><c>inspect CSV --build BUILD --job JOB</c>: a measured unit against its build.</summary>
internal static class InspectCommand
{
    private const string About = "Holds a measured unit against its build: pass or fail by frequency, and the likely fault.";

    private const string Guide =
        """
        The curve is measured at the ear simulator with the job's drive: a heading hz,spl_db and, if wished, phase_deg, impedance_ohm,
        impedance_phase_deg, then a line a frequency. Limits come from the file, of level and where it has
        them of impedance, or from the spread of parts and bench, aimed at 99 % of units in order inside everywhere.
        Weighed are single faults: leads turned over, a damper missing, swapped or exchanged, a leak, a blocked tube, a dead receiver, a tube
        cut wrong, a wrong, missing or exchanged network part, and none at all. The bench is trusted as far as the options say.

        Examples:
          xoveropt inspect unit12.csv --build out/quick/builds/01.json --job jobs/quick.json
          xoveropt inspect unit12.csv --build out/quick/builds/01.json --job jobs/quick.json --limits limits.csv --json

        Exit codes: 0 passes and no fault found; 1 a file is wrong; 2 fails or has a likely fault.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        BenchNoise usual = new();
        Argument<string> curve = new("CSV") { Description = "The measured curve." };
        Option<string> build = new("--build") { Description = "What was to be built.", HelpName = "BUILD", Required = true };
        Option<string> job = new("--job") { Description = "The job of the build: drive, ear, tolerances.", HelpName = "JOB", Required = true };
        Option<string?> limits = new("--limits") { Description = "Limits, CSV: hz, expectedDb, lowDb, highDb and, if the impedance is limited, expectedOhm, lowOhm, highOhm; made from the spread if left out.", HelpName = "FILE" };
        Option<double> level = new("--level-db") { Description = "Deviation of the bench's level at a frequency, dB.", HelpName = "DB", DefaultValueFactory = _ => usual.LevelDb };
        Option<double> offset = new("--offset-db") { Description = "Deviation of its level as a whole, dB.", HelpName = "DB", DefaultValueFactory = _ => usual.OffsetDb };
        Option<double> impedance = new("--impedance-percent") { Description = "Deviation of its impedance, %.", HelpName = "P", DefaultValueFactory = _ => usual.ImpedancePercent };
        Option<bool> json = new("--json") { Description = "Print JSON." };
        level.Allow(db => db is >= 0.01 and <= 10, "0.01 to 10 dB");
        offset.Allow(db => db is >= 0 and <= 20, "0 to 20 dB");
        impedance.Allow(percent => percent is >= 0.01 and <= 50, "0.01 to 50 %");
        GuidedCommand command = new("inspect", About, Guide) { curve, build, job, limits, level, offset, impedance, json };
        command.SetAction(parsed => Run(
            parsed.GetRequiredValue(curve),
            parsed.GetRequiredValue(build),
            parsed.GetRequiredValue(job),
            parsed.GetValue(limits),
            usual with { LevelDb = parsed.GetValue(level), OffsetDb = parsed.GetValue(offset), ImpedancePercent = parsed.GetValue(impedance) },
            parsed.GetValue(json)));
        return command;
    }

    private static int Run(string curvePath, string build, string job, string? limitsPath, BenchNoise noise, bool json)
    {
        Reading<BuildInJob> built = BuildInJob.Read(build, job);
        Reading<MeasuredCurve> curve = MeasuredFile.Read(curvePath);
        Reading<UnitMeasurement> unit = curve.IsGood ? MeasuredUnit.Of(curve.Value, curvePath) : new(null, curve.Faults);
        Reading<UnitLimits>? limits = limitsPath is null ? null : UnitLimitsFile.Read(limitsPath);
        if (!built.IsGood || !unit.IsGood || limits is { IsGood: false })
        {
            return CommandLine.Refuse([.. built.Faults, .. unit.Faults, .. limits?.Faults ?? []]);
        }

        UnitReport report = UnitInspection.Inspect(built.Value.Build.Earpiece, built.Value.Job.Problem, unit.Value, noise, limits?.Value);
        Console.OutputEncoding = Encoding.UTF8;
        Console.WriteLine(json
            ? JsonSerializer.Serialize(InspectionView.Of(report, unit.Value), ApiJson.Options)
            : string.Join('\n', InspectionText.Lines(report, unit.Value).Append("").Append(BuildFile.Caution).SelectMany(line => line.Length <= Report.Width ? [line] : Report.Wrap(line, Report.Width))));
        return report.Passes && report.Verdicts[0].Kind == FaultKind.NoneFound ? ExitCode.Done : ExitCode.CouldNotBeDone;
    }
}
