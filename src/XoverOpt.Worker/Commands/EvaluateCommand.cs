using System.CommandLine;
using System.Numerics;
using System.Text;
using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary><c>evaluate BUILD --job JOB</c>: one build's response and figures.</summary>
internal static class EvaluateCommand
{
    private const double ReferencePressure = 20e-6;

    private const string About = "Works out one build's response, figures and cost under a job's target, drive, ear and limits.";

    private const string Guide =
        """
        Examples:
          xoveropt evaluate out/stage/builds/01.json --job jobs/stage.json
          xoveropt evaluate my-idea.json --job jobs/stage.json --hz 100 1000 10000 --json

        The table gives eardrum level in dB re 20 µPa for the job's drive, phase in degrees and socket impedance in Ω.
        Exit codes: 0 done; 1 the build or the job is wrong.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> build = new("BUILD") { Description = "The build file." };
        Option<string> job = new("--job") { Description = "The job it is judged by.", HelpName = "JOB", Required = true };
        Option<double[]> hz = new("--hz")
        {
            Description = "Frequencies of the response, Hz, rising; the figures' own grid (JSON) or thirds of an octave (table) if left out.",
            HelpName = "N",
            AllowMultipleArgumentsPerToken = true,
            DefaultValueFactory = _ => [],
        };
        Option<bool> json = new("--json") { Description = "Print a build file with the response in it." };
        hz.Allow(asked => asked is null || Rises(asked), "rising frequencies from 1 to 100000 Hz");
        GuidedCommand command = new("evaluate", About, Guide) { build, job, hz, json };
        command.SetAction(parsed => Run(
            parsed.GetRequiredValue(build), parsed.GetRequiredValue(job), parsed.GetValue(hz) ?? [], parsed.GetValue(json)));
        return command;
    }

    private static bool Rises(double[] hz) => hz.All(f => f is >= 1 and <= 100_000) && hz.Zip(hz.Skip(1)).All(pair => pair.First < pair.Second);

    private static int Run(string buildPath, string jobPath, double[] hz, bool json)
    {
        Reading<BuildInJob> reading = BuildInJob.Read(buildPath, jobPath);
        if (!reading.IsGood)
        {
            return CommandLine.Refuse(reading.Faults);
        }

        (JobDocument job, BuildDocument build) = reading.Value;
        Problem problem = job.Problem;
        Earpiece earpiece = build.Earpiece;
        BuildEvaluation evaluation = new(problem);
        RankedBuild judged = evaluation.Judge(earpiece, build.RelaxedCost ?? double.NaN);
        Console.OutputEncoding = Encoding.UTF8;
        if (json)
        {
            EarpieceResponse response = hz.Length == 0 ? evaluation.Response(earpiece) : evaluation.Response(earpiece, hz);
            Console.WriteLine(BuildFile.Write(judged, problem, response));
            return ExitCode.Done;
        }

        foreach (string line in BuildText.Lines(judged, problem)
            .Append("").Concat(Table(evaluation.Response(earpiece, hz.Length == 0 ? ThirdOctaves() : hz)))
            .Append("").Append(BuildFile.Caution).Append(Report.Model))
        {
            Console.WriteLine(line);
        }

        return ExitCode.Done;
    }

    private static IEnumerable<string> Table(EarpieceResponse response)
    {
        yield return $"{"Hz",10}{"dB",9}{"phase °",10}{"|Z| Ω",10}{"arg Z °",10}" + string.Concat(response.Ways.Select(way => $"{way.Name + " dB",12}"));
        for (int i = 0; i < response.Hz.Length; i++)
        {
            Complex p = response.Pressure[i], z = response.Impedance[i];
            yield return $"{Numbers.Part(response.Hz[i]),10}{Numbers.Fixed(Db(p), 2),9}{Numbers.Fixed(Degrees(p), 1),10}"
                + $"{Numbers.Fixed(z.Magnitude, 2),10}{Numbers.Fixed(Degrees(z), 1),10}"
                + string.Concat(response.Ways.Select(way => $"{Numbers.Fixed(Db(way.Pressure[i]), 2),12}"));
        }
    }

    /// <summary>Exact mid-band frequencies 1000·10^(n/10) from 20 Hz to 20 kHz (IEC 61260-1).</summary>
    private static double[] ThirdOctaves() => [.. Enumerable.Range(-17, 31).Select(n => 1000 * Math.Pow(10, n / 10.0))];

    private static double Db(Complex pressure) => 20 * Math.Log10(pressure.Magnitude / ReferencePressure);

    private static double Degrees(Complex value) => value.Phase * 180 / Math.PI;
}
