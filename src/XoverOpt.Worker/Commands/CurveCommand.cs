using System.CommandLine;
using System.Globalization;
using System.Text;
using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary><c>curve FILE…</c>: figures of measured curves, laid beside builds.</summary>
internal static class CurveCommand
{
    private const string About = "Gives measured curves the figures builds have, and lays them beside builds.";

    private const string Guide =
        """
        A curve is a CSV whose heading names columns and units (hz, db or spl_db, phase_deg, impedance_ohm, impedance_phase_deg), or an
        impulse response as WAV. Figures are taken where there are data; what cannot be known is said.

        Examples:
          xoveropt curve older-model.csv --job jobs/stage.json
          xoveropt curve rival.csv prototype.wav --job jobs/stage.json --build out/stage/builds/01.json --csv side-by-side.csv
          xoveropt curve prototype.wav --level 104@1000
          xoveropt curve prototype.wav --volt-per-full-scale 1 --millivolt-per-pascal 12.5

        Exit codes: 0 done; 1 an input is wrong.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string[]> files = new("FILE") { Description = "Measured curves, CSV or WAV.", Arity = ArgumentArity.OneOrMore };
        Option<string?> job = new("--job") { Description = "The job whose target and phase band they are held against.", HelpName = "JOB" };
        Option<string[]> builds = new("--build") { Description = "Builds to lay beside them.", HelpName = "BUILD", AllowMultipleArgumentsPerToken = true, DefaultValueFactory = _ => [] };
        Option<string?> csv = new("--csv") { Description = "Write all curves on one grid here.", HelpName = "FILE" };
        Option<bool> json = new("--json") { Description = "Print figures and curves as JSON." };
        Option<bool> trust = new("--trust-units") { Description = "Take the units as the headings say, however unlikely the numbers." };
        Option<double?> pascal = new("--pascal-per-full-scale") { Description = "Pa that a full-scale sample of a WAV stands for.", HelpName = "PA" };
        Option<double?> volt = new("--volt-per-full-scale") { Description = "V that it stands for; needs --millivolt-per-pascal.", HelpName = "V" };
        Option<double?> sensitivity = new("--millivolt-per-pascal") { Description = "Sensitivity of the microphone.", HelpName = "MV" };
        Option<string?> level = new("--level") { Description = "Level of a WAV's curve at a frequency instead, such as 104@1000.", HelpName = "DB@HZ" };
        Option<int?> channel = new("--channel") { Description = "Channel of a WAV, from 1.", HelpName = "N" };
        pascal.Allow(value => value is null or (> 0 and <= 1e6), "a number above 0, at most 1000000 Pa");
        volt.Allow(value => value is null or (> 0 and <= 1e4), "a number above 0, at most 10000 V");
        sensitivity.Allow(value => value is null or (> 0 and <= 1e5), "a number above 0, at most 100000 mV/Pa");
        level.Allow(value => value is null || Level(value) is not null, "dB re 20 µPa and Hz, such as 104@1000");
        channel.Allow(value => value is null or (>= 1 and <= 64), "a whole number from 1 to 64");
        GuidedCommand command = new("curve", About, Guide) { files, job, builds, csv, json, trust, pascal, volt, sensitivity, level, channel };
        command.Validators.Add(result =>
        {
            bool byVolt = result.GetValue(volt) is not null;
            if (byVolt != (result.GetValue(sensitivity) is not null))
            {
                result.AddError("--volt-per-full-scale and --millivolt-per-pascal go together: found one of them.");
            }

            if ((byVolt ? 1 : 0) + (result.GetValue(pascal) is null ? 0 : 1) + (result.GetValue(level) is null ? 0 : 1) > 1)
            {
                result.AddError("found several calibrations; allowed: one of --pascal-per-full-scale, --volt-per-full-scale, --level.");
            }

            if (result.GetValue(builds) is { Length: > 0 } && result.GetValue(job) is null)
            {
                result.AddError("--build: a build needs a --job that judges it.");
            }
        });
        command.SetAction(parsed =>
        {
            (double Db, double Hz)? stated = parsed.GetValue(level) is { } text ? Level(text) : null;
            MeasuredCalibration calibration = parsed.GetValue(volt) is { } v && parsed.GetValue(sensitivity) is { } s
                ? MeasuredCalibration.OfVolts(v, s) with { Channel = parsed.GetValue(channel) }
                : new(parsed.GetValue(pascal), stated?.Db, stated?.Hz ?? 1000, parsed.GetValue(channel));
            return Run(
                parsed.GetRequiredValue(files), parsed.GetValue(job), parsed.GetValue(builds) ?? [], parsed.GetValue(csv), parsed.GetValue(json), parsed.GetValue(trust), calibration);
        });
        return command;
    }

    private static (double Db, double Hz)? Level(string text) =>
        text.Split('@') is [var db, var hz]
        && double.TryParse(db, NumberStyles.Float, CultureInfo.InvariantCulture, out double level) && level is >= -60 and <= 200
        && double.TryParse(hz, NumberStyles.Float, CultureInfo.InvariantCulture, out double at) && at is >= 1 and <= 100_000 ? (level, at) : null;

    private static int Run(string[] files, string? jobPath, string[] builds, string? csv, bool json, bool trust, MeasuredCalibration calibration)
    {
        List<Fault> faults = [];
        T? Taken<T>(Reading<T> reading)
            where T : class
        {
            faults.AddRange(reading.Faults);
            return reading.Value;
        }

        List<MeasuredCurve> curves = [.. files.Select(file => Taken(MeasuredFile.Read(file, calibration, trust))).OfType<MeasuredCurve>()];
        MeasuredCurve[] measured = [.. curves];
        JobDocument? job = jobPath is null ? null : Taken(JobFile.Read(jobPath));
        BuildEvaluation? evaluation = job is null || builds.Length == 0 ? null : new(job.Problem);
        foreach (string path in evaluation is null ? [] : builds)
        {
            if (Taken(BuildInJob.Read(path, jobPath!)) is { } read)
            {
                curves.Add(MeasuredRequest.Build(read.Build, evaluation!, "build " + Path.GetFileNameWithoutExtension(path), measured));
            }
        }

        if (faults.Count > 0)
        {
            return CommandLine.Refuse(faults);
        }

        IReadOnlyList<MeasuredFigures> figures = MeasuredRequest.Judge(job, curves);
        IReadOnlyList<string>[] remarks = [.. curves.Select(curve => curve.Remarks)];
        Console.OutputEncoding = Encoding.UTF8;
        if (csv is not null)
        {
            File.WriteAllText(csv, MeasuredComparison.Csv(figures));
        }

        if (json)
        {
            Console.Write(MeasuredComparison.Json(figures, remarks));
            return ExitCode.Done;
        }

        foreach (string line in CurveText.Lines(figures, remarks).Append("").Concat(Report.Wrap(BuildFile.Caution, Report.Width)).Concat(Report.Wrap(Report.Model, Report.Width)))
        {
            Console.WriteLine(line);
        }

        return ExitCode.Done;
    }
}
