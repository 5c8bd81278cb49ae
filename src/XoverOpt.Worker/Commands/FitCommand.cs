using System.CommandLine;
using System.Globalization;
using System.Numerics;
using System.Text;
using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary><c>fit MEASUREMENTS</c>: receiver parameters from measured curves.</summary>
internal static class FitCommand
{
    private const string About = "Fits the parameters of a receiver to measured impedance and level, and says which of them the measurements tell.";

    private const string Guide =
        """
        A measurements file names curves (CSV or WAV), the load and drive of each, and what is known of the receiver:
          { "format": "measurements/1", "partNumber": "R-1", "noise": { "levelDb": 0.2, "phaseDeg": 1, "impedancePercent": 0.5 },
            "known": { "diaphragmMm2": 8.5, "rearVolumeMm3": 130 },
            "curves": [ { "file": "closed.csv", "driveMillivoltRms": 100, "sourceOhm": 1,
                          "load": { "end": "blocked", "tube": [ { "lengthMm": 12, "boreMm": 1.5 } ] } },
                        { "file": "coupler.csv", "load": { "end": "cavity", "cavityMm3": 2000 } },
                        { "file": "ear.csv", "load": { "end": "ear-simulator", "damperOhmCgs": 680 } } ] }
        Columns of a CSV: hz, db or spl_db, phase_deg, impedance_ohm, impedance_phase_deg. Ends: blocked, open, cavity, ear-simulator.
        The impedance is that at the receiver's own leads; the level is that of the source's open-circuit voltage behind sourceOhm.

        Examples:
          xoveropt fit bench/r1.json --out driverlib/r1.json
          xoveropt fit bench/r1.json --json
          xoveropt fit bench/r1.json --hunt                 Hunt's parameters over frequency, from impedances under three loads

        Exit codes: 0 done; 1 an input is wrong; 2 the measurements do not determine the receiver (nothing is written to --out).
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> measurements = new("MEASUREMENTS") { Description = "The measurements file." };
        Option<string?> output = new("--out") { Description = "Write the receiver file here.", HelpName = "FILE" };
        Option<bool> json = new("--json") { Description = "Print the result as JSON." };
        Option<bool> hunt = new("--hunt") { Description = "Print Hunt's parameters from three loads, a line a frequency, instead of fitting." };
        GuidedCommand command = new("fit", About, Guide) { measurements, output, json, hunt };
        command.SetAction(parsed => Run(parsed.GetRequiredValue(measurements), parsed.GetValue(output), parsed.GetValue(json), parsed.GetValue(hunt)));
        return command;
    }

    private static int Run(string path, string? output, bool json, bool hunt)
    {
        Reading<FitDocument> reading = FitFile.Read(path);
        if (!reading.IsGood)
        {
            return CommandLine.Refuse(reading.Faults);
        }

        Console.OutputEncoding = Encoding.UTF8;
        FitDocument document = reading.Value;
        if (hunt)
        {
            return Hunt(document);
        }

        ReceiverFitResult result = ReceiverFit.Of(document.Problem);
        if (json)
        {
            Console.Write(FitResultFile.Write(document, result));
        }
        else
        {
            foreach (string line in document.Problem.Measurements.SelectMany(one => one.Curve.Remarks.Select(remark => $"{one.Curve.Name}: {remark}"))
                .Concat(FitText.Lines(document, result)))
            {
                Console.WriteLine(line);
            }
        }

        if (output is null)
        {
            return ExitCode.Done;
        }

        if (!result.IsWhole)
        {
            return CommandLine.Fail($"{output} is not written: the measurements leave values of the receiver undetermined.");
        }

        File.WriteAllText(output, FitResultFile.Receiver(document, result));
        Console.Error.WriteLine($"Receiver written to {output}");
        return ExitCode.Done;
    }

    private static int Hunt(FitDocument document)
    {
        if (HuntCurve.Of(document.Problem) is not { } curve)
        {
            return CommandLine.Fail("Hunt's parameters need impedance with phase under three unlike loads, at the same frequencies.");
        }

        Console.WriteLine("hz,ze_re_ohm,ze_im_ohm,za_re_pa_s_m3,za_im_pa_s_m3,ta_re_pa_a,ta_im_pa_a");
        foreach ((double hz, HuntRecovery found) in curve.Hz.Zip(curve.Found))
        {
            // The root near the positive reals: T_a is the positive T/S_d at low frequencies.
            Complex ta = Complex.Sqrt(found.TaSquare);
            Console.WriteLine(string.Join(',', new[] { hz, found.Ze.Real, found.Ze.Imaginary, found.Za.Real, found.Za.Imaginary, ta.Real, ta.Imaginary }
                .Select(value => value.ToString("G8", CultureInfo.InvariantCulture))));
        }

        return ExitCode.Done;
    }
}
