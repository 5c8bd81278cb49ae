using System.Globalization;
using System.Numerics;
using System.Text.Json;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;
using XoverOpt.Acoustics.Tests;
using XoverOpt.Search;

namespace XoverOpt.Benchmarks;

/// <summary>
/// <c>circuit</c>: responses a second of ngspice, NumPy and the kernel for one three-way earpiece at the same frequencies in one run. NumPy
/// does the kernel's own equations and must agree with it; ngspice gets the earpiece with lumped tubes and coils without eddy currents,
/// which it has no element for, and must agree with NumPy on that.
/// </summary>
internal static class ComparisonCircuit
{
    private const int Density = 12;
    private const int Few = 20;
    private const int Many = 220;
    private const int Pieces = 16;

    /// <summary>Runs it; 2 when the three do not agree.</summary>
    public static int Run(string[] arguments)
    {
        var options = new ComparisonOptions(arguments, "--python", "--scripts");
        Problem problem = options.Problem;
        Console.WriteLine(ComparisonTable.Where("compare.sh circuit " + string.Join(' ', arguments)));
        var tables = new ProblemTables(problem, Density);
        Earpiece earpiece = Lumpable(problem, tables);
        KernelWay[] ways = tables.Ways(earpiece);
        var kernel = new KernelWorkspace(tables.Grid);
        EarpieceKernel.Evaluate(ways, tables.Ear, problem.Source, kernel, [], []);
        string folder = Directory.CreateTempSubdirectory("compare").FullName;
        try
        {
            string file = Path.Combine(folder, "build.json");
            File.WriteAllText(file, Describe(problem, earpiece, tables.Grid, kernel));
            string answer = new ComparisonOutside(options.Text("--python", "/usr/bin/python3"), options.Text("--scripts", "tests/XoverOpt.Benchmarks/outside"), [])
                .Python("numpy_response.py", [file])[0];
            NumPy numpy = JsonSerializer.Deserialize<NumPy>(answer, JsonSerializerOptions.Web)!;

            var netlist = new ComparisonNetlist(new EarpieceCircuit(new Build(earpiece, problem.Ear, problem.Source), lumped: true), tables.Grid, folder);
            double apart = netlist.Pressure().Select((p, k) =>
            {
                var lumped = new Complex(numpy.LumpedRe[k], numpy.LumpedIm[k]);
                return Complex.Abs(p - lumped) / Complex.Abs(lumped);
            }).Max();
            (double once, double each) = Spice(netlist);
            var fine = new ComparisonNetlist(new EarpieceCircuit(new Build(Split(earpiece), problem.Ear, problem.Source), lumped: true), tables.Grid, folder);
            (double fineOnce, double fineEach) = Spice(fine);
            (double coarseDb, double fineDb) = (Apart(netlist.Pressure(), kernel), Apart(fine.Pressure(), kernel));
            double ours = ComparisonClock.Microseconds(() => EarpieceKernel.Evaluate(ways, tables.Ear, problem.Source, kernel, [], []));
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"""
                {ways.Length} ways, {earpiece.Ways.Sum(way => way.Count)} receivers, {tables.Grid.Count} frequencies

                | | µs a response | responses/s | times the kernel's time |
                |---|--:|--:|--:|
                | kernel | {ours:0.00} | {1e6 / ours:0} | 1 |
                | NumPy, tables made beforehand | {numpy.Microseconds:0} | {1e6 / numpy.Microseconds:0} | {numpy.Microseconds / ours:0} |
                | NumPy, everything anew | {numpy.MicrosecondsAnew:0} | {1e6 / numpy.MicrosecondsAnew:0} | {numpy.MicrosecondsAnew / ours:0} |
                | ngspice, a tube as one lump, one of many in one process | {each:0} | {1e6 / each:0} | {each / ours:0} |
                | the same, a process each | {once:0} | {1e6 / once:0} | {once / ours:0} |
                | ngspice, a tube as {Pieces} lumps, one of many in one process | {fineEach:0} | {1e6 / fineEach:0} | {fineEach / ours:0} |
                | the same, a process each | {fineOnce:0} | {1e6 / fineOnce:0} | {fineOnce / ours:0} |

                Lumps are not tubes: from 20 Hz to 16 kHz one lump a tube is {coarseDb:0.0} dB off the kernel at worst, {Pieces} lumps {fineDb:0.0} dB.

                NumPy and the kernel differ by {numpy.Difference:0.0e+0} at most (allowed 1e-9), ngspice and NumPy on lumped tubes by {apart:0.0e+0} (allowed 1e-6).
                """));
            return numpy.Difference <= 1e-9 && apart <= 1e-6 ? 0 : 2;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    /// <summary>µs of a run of one analysis, start included, and of each further analysis; the least of several.</summary>
    private static (double Once, double Each) Spice(ComparisonNetlist netlist)
    {
        double once = double.PositiveInfinity, few = double.PositiveInfinity, many = double.PositiveInfinity;
        for (int round = 0; round < 5; round++)
        {
            once = Math.Min(once, netlist.Seconds(1));
            few = Math.Min(few, netlist.Seconds(Few));
            many = Math.Min(many, netlist.Seconds(Many));
        }

        return (once * 1e6, (many - few) / (Many - Few) * 1e6);
    }

    /// <summary>Every tube in pieces, so that lumps come near it.</summary>
    private static Earpiece Split(Earpiece earpiece) => new([.. earpiece.Ways.Select(way => way with
    {
        Tube = [.. way.Tube.SelectMany(piece => Enumerable.Repeat(new TubeSegment(piece.Length / Pieces, piece.Bore), Pieces))],
    })]);

    /// <summary>Largest difference in level from the kernel, 20 Hz to 16 kHz, dB.</summary>
    private static double Apart(Complex[] pressure, KernelWorkspace kernel) => Enumerable.Range(0, pressure.Length)
        .Where(k => kernel.Grid.Hz[k] is >= 20 and <= 16_000)
        .Max(k => Math.Abs(20 * Math.Log10(pressure[k].Magnitude / new Complex(kernel.PressureRe[k], kernel.PressureIm[k]).Magnitude)));

    /// <summary>A layout drawn by the job's seed at the middle of its values, coils without their eddy-current branch.</summary>
    private static Earpiece Lumpable(Problem problem, ProblemTables tables)
    {
        var space = new LayoutSpace(problem);
        Layout layout = space.Draw(new Random64(problem.Effort.Seed)) ?? throw new ArgumentException("the job allows no layout");
        Earpiece earpiece = new Candidate(tables, space, layout).ToEarpiece();
        return new([.. earpiece.Ways.Select(way => way with { Receiver = way.Receiver with { SemiInductance = null } })]);
    }

    private static string Describe(Problem problem, Earpiece earpiece, FrequencyGrid grid, KernelWorkspace kernel) => JsonSerializer.Serialize(new
    {
        hz = grid.Hz,
        air = problem.Ear.Air,
        source = problem.Source,
        ear = problem.Ear.Leak is null
            ? new { residualLength = problem.Ear.ResidualLength, residualBore = problem.Ear.ResidualBore, simulator = problem.Ear.Simulator }
            : throw new ArgumentException("a job with a leak is not compared here"),
        ways = earpiece.Ways.Select(way => new
        {
            receiver = way.Receiver,
            count = way.Count,
            parallel = way.Wiring == Wiring.Parallel,
            sign = way.Sign,
            network = way.Network.Select(section => new
            {
                series = section.Place == SectionPlace.Series,
                R = section.Resistance,
                C = section.Capacitance,
                L = section.Inductance,
                loss = (section.Capacitance is null ? 0 : section.CapacitorEsr) + (section.Inductance is null ? 0 : section.CoilDcr),
            }),
            damper = way.DamperResistance,
            length = way.Tube.Single().Length,
            bore = way.Tube.Single().Bore,
        }),
        expected = new { pressureRe = kernel.PressureRe, pressureIm = kernel.PressureIm, admittanceRe = kernel.AdmittanceRe, admittanceIm = kernel.AdmittanceIm },
    });

    private sealed record NumPy(double Difference, double Microseconds, double MicrosecondsAnew, double[] LumpedRe, double[] LumpedIm);
}
