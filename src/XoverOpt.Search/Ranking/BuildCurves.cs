using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// The curves behind the figures of a build, ready to draw: by the arithmetic and on the grid the ranking uses. One entry a frequency in every
/// array; not a number where a figure does not look.
/// </summary>
public sealed record BuildCurves
{
    private const double ReferencePressure = 20e-6;

    /// <summary>Frequencies, Hz.</summary>
    public required double[] Hz { get; init; }

    /// <summary>Eardrum SPL at the job's drive, dB re 20 µPa.</summary>
    public required double[] LevelDb { get; init; }

    /// <summary>The target at the level it is judged at, dB re 20 µPa, in the target band.</summary>
    public required double[] TargetDb { get; init; }

    /// <summary>Each way's share of the level and its group delay.</summary>
    public required IReadOnlyList<WayCurves> Ways { get; init; }

    /// <summary>Phase with its pure delay removed, degrees, in the phase band.</summary>
    public required double[] PhaseDeg { get; init; }

    /// <summary>The minimum phase that belongs to the level (<see cref="MinimumPhase"/>), degrees, in the phase band.</summary>
    public required double[] MinimumDeg { get; init; }

    /// <summary>The phase that is held against the job's limit (<see cref="PhaseGoal.Kind"/>), degrees, in the phase band.</summary>
    public required double[] DeviationDeg { get; init; }

    /// <summary>Group delay of the whole, ms.</summary>
    public required double[] GroupDelayMs { get; init; }

    /// <summary>Summing loss 20 log₁₀(Σ|shares| / |Σ shares|), dB.</summary>
    public required double[] SummingLossDb { get; init; }

    /// <summary>Magnitude of the socket impedance, Ω.</summary>
    public required double[] ImpedanceOhm { get; init; }

    /// <summary>Its angle, degrees.</summary>
    public required double[] ImpedanceDeg { get; init; }

    /// <summary>The loudest before a receiver meets a limit (<see cref="Headroom"/>), dB re 20 µPa; not a number where none states one.</summary>
    public required double[] LoudestDb { get; init; }

    /// <summary>Computes them.</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="tables">The problem on the grid of the figures.</param>
    /// <param name="lowHz">Lowest frequency to keep, Hz.</param>
    /// <param name="highHz">Highest frequency to keep, Hz.</param>
    public static BuildCurves Of(Earpiece earpiece, ProblemTables tables, double lowHz, double highHz)
    {
        var workspace = new CostWorkspace(tables);
        KernelWay[] ways = tables.Ways(earpiece);
        CostFunction.Evaluate(ways, workspace, null, [], []);
        KernelWorkspace kernel = workspace.Kernel;
        FrequencyGrid grid = tables.Grid;
        int from = Array.FindIndex(grid.Hz, hz => hz >= lowHz), to = Array.FindLastIndex(grid.Hz, hz => hz <= highHz) + 1, n = to - from;
        Complex[] whole = Join(kernel.PressureRe, kernel.PressureIm);
        Complex[][] shares = [.. Enumerable.Range(0, ways.Length).Select(way => Join(kernel.Row(kernel.ShareRe, way), kernel.Row(kernel.ShareIm, way)))];
        Complex[] impedance = [.. Join(kernel.AdmittanceRe, kernel.AdmittanceIm).Select(Complex.Reciprocal)];
        double[] level = Level(whole), target = None(grid.Count), phase = None(grid.Count), minimum = None(grid.Count), deviation = None(grid.Count);
        for (int k = tables.Magnitude.From; k < tables.Magnitude.To; k++)
        {
            target[k] = level[k] - workspace.Error[k];
        }

        double[] least = new double[grid.Count];
        tables.MinimumPhase.Apply(workspace.WholeLog, least, 0, grid.Count);
        bool excess = tables.Problem.Phase.Kind == PhaseKind.Excess;
        for (int k = tables.Phase.From; k < tables.Phase.To; k++)
        {
            minimum[k] = Degrees(least[k]);
            deviation[k] = Degrees(workspace.Deviation[k]);
            phase[k] = deviation[k] + (excess ? minimum[k] : 0);
        }

        double[] hz = grid.Hz[from..to];
        return new()
        {
            Hz = hz,
            LevelDb = level[from..to],
            TargetDb = target[from..to],
            Ways = [.. shares.Select((share, way) => new WayCurves(earpiece.Ways[way].Name, Level(share)[from..to], GroupDelay(share, grid.Omega)[from..to]))],
            PhaseDeg = phase[from..to],
            MinimumDeg = minimum[from..to],
            DeviationDeg = deviation[from..to],
            GroupDelayMs = GroupDelay(whole, grid.Omega)[from..to],
            SummingLossDb = [.. Enumerable.Range(from, n).Select(k => 20 * Math.Log10(shares.Sum(share => share[k].Magnitude) / whole[k].Magnitude))],
            ImpedanceOhm = [.. impedance[from..to].Select(z => z.Magnitude)],
            ImpedanceDeg = [.. impedance[from..to].Select(z => Degrees(z.Phase))],
            LoudestDb = [.. hz.Select(f => Headroom.At(earpiece, tables.Problem.Ear, f)).Select(room => room.Way < 0 ? double.NaN : room.Spl)],
        };
    }

    private static double[] Level(Complex[] pressure) => [.. pressure.Select(p => 20 * Math.Log10(p.Magnitude / ReferencePressure))];

    /// <summary>−dφ/dω, ms: from the turn between each two points of the grid, as the mean of the two steps beside a point.</summary>
    private static double[] GroupDelay(Complex[] pressure, double[] omega)
    {
        double Step(int k) => -(pressure[k + 1] / pressure[k]).Phase / (omega[k + 1] - omega[k]) * 1e3;
        return [.. Enumerable.Range(0, pressure.Length).Select(k => k == 0 ? Step(0) : k == pressure.Length - 1 ? Step(k - 1) : 0.5 * (Step(k - 1) + Step(k)))];
    }

    private static Complex[] Join(ReadOnlySpan<double> re, ReadOnlySpan<double> im)
    {
        var joined = new Complex[re.Length];
        for (int k = 0; k < re.Length; k++)
        {
            joined[k] = new(re[k], im[k]);
        }

        return joined;
    }

    private static double[] None(int count)
    {
        double[] none = new double[count];
        Array.Fill(none, double.NaN);
        return none;
    }

    private static double Degrees(double radians) => radians * 180 / Math.PI;
}

/// <summary>One way's curves.</summary>
/// <param name="Name">The way.</param>
/// <param name="LevelDb">Level of its share, dB re 20 µPa.</param>
/// <param name="GroupDelayMs">Group delay of its share, ms.</param>
public sealed record WayCurves(string Name, double[] LevelDb, double[] GroupDelayMs);
