using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// What a build does by frequency, at the job's drive, from 20 Hz to 20 kHz on the grid of the figures: the curves behind every plot. One entry
/// a frequency in every array, not a number where a curve has no meaning.
/// </summary>
public sealed record BuildCurves
{
    /// <summary>Pressure that levels refer to, Pa.</summary>
    private const double ReferencePressure = 20e-6;

    /// <summary>The job.</summary>
    public required Problem Problem { get; init; }

    /// <summary>The build.</summary>
    public required Earpiece Earpiece { get; init; }

    /// <summary>Frequencies, Hz.</summary>
    public required double[] Hz { get; init; }

    /// <summary>Eardrum SPL, dB re 20 µPa.</summary>
    public required double[] LevelDb { get; init; }

    /// <summary>The target at the level that the figure of the magnitude error gives it, dB; in the target band.</summary>
    public required double[] TargetDb { get; init; }

    /// <summary>Phase at the eardrum without its delay, degrees.</summary>
    public required double[] PhaseDeg { get; init; }

    /// <summary>Minimum phase of the level, degrees.</summary>
    public required double[] MinimumPhaseDeg { get; init; }

    /// <summary>The phase figure, degrees; in the phase band.</summary>
    public required double[] PhaseFigureDeg { get; init; }

    /// <summary>Group delay, ms.</summary>
    public required double[] GroupDelayMs { get; init; }

    /// <summary>Summing loss, dB.</summary>
    public required double[] SummingLossDb { get; init; }

    /// <summary>Magnitude of the impedance at the socket, Ω.</summary>
    public required double[] ImpedanceOhm { get; init; }

    /// <summary>Its angle, degrees.</summary>
    public required double[] ImpedanceDeg { get; init; }

    /// <summary>Each way by itself, in the order of the build.</summary>
    public required IReadOnlyList<WayCurves> Ways { get; init; }

    /// <summary>Works them out.</summary>
    public static BuildCurves Of(Earpiece earpiece, Problem problem)
    {
        // Only what the build is made of is tabulated, not what the job might have used.
        Problem bare = problem with { Ways = [] };
        ProblemTables tables = new(bare, 24);
        FrequencyGrid grid = tables.Grid;
        EarpieceResponse response = new BuildEvaluation(bare).Response(earpiece);
        double nominal = earpiece.Ways.Average(way => PathDelay(way, problem.Ear.Air));
        double[] log = Log(response.Pressure), phase = Phase(response.Pressure), minimum = Minimum(tables, log);
        double[] error = new double[grid.Count], figure = new double[grid.Count];
        tables.Magnitude.Of(log, error);
        double delay = tables.Phase.Of(phase, problem.Phase.Kind == PhaseKind.Excess ? minimum : new double[grid.Count], nominal, figure).Delay;
        double[] smooth = Unwrapped(phase, minimum, grid.Omega, delay);
        int from = Array.FindIndex(grid.Hz, hz => hz >= 19.9), to = Array.FindLastIndex(grid.Hz, hz => hz <= 20_100) + 1;
        double[] Cut(Func<int, double> of) => [.. Enumerable.Range(from, to - from).Select(of)];
        bool In(int k, int first, int end) => k >= first && k < end;
        double Db(Complex pressure) => 20 * Math.Log10(pressure.Magnitude / ReferencePressure);
        return new()
        {
            Problem = problem,
            Earpiece = earpiece,
            Hz = Cut(k => grid.Hz[k]),
            LevelDb = Cut(k => Db(response.Pressure[k])),
            TargetDb = Cut(k => In(k, tables.Magnitude.From, tables.Magnitude.To) ? Db(response.Pressure[k]) - error[k] : double.NaN),
            PhaseDeg = Cut(k => Degrees(smooth[k] + minimum[k])),
            MinimumPhaseDeg = Cut(k => Degrees(minimum[k])),
            PhaseFigureDeg = Cut(k => In(k, tables.Phase.From, tables.Phase.To) ? Degrees(figure[k]) : double.NaN),
            GroupDelayMs = Cut(k => GroupDelay(phase, grid.Omega, k) * 1e3),
            SummingLossDb = Cut(k => 20 * Math.Log10(response.Ways.Sum(way => way.Pressure[k].Magnitude) / response.Pressure[k].Magnitude)),
            ImpedanceOhm = Cut(k => response.Impedance[k].Magnitude),
            ImpedanceDeg = Cut(k => Degrees(response.Impedance[k].Phase)),
            Ways = [.. response.Ways.Select((share, i) => Way(share, earpiece.Ways[i]))],
        };

        WayCurves Way(WayShare share, Way way)
        {
            double[] shareLog = Log(share.Pressure), sharePhase = Phase(share.Pressure), shareMinimum = Minimum(tables, shareLog), theta = new double[grid.Count];
            double path = PathDelay(way, problem.Ear.Air);
            Arrival.Fit fit = tables.Arrival.Of(shareLog, log, sharePhase, shareMinimum, path, theta);
            bool Counts(int k) => In(k, tables.Arrival.From, tables.Arrival.To) && (shareLog[k] - log[k]) * MagnitudeError.DbPerNeper >= -10;
            return new(
                way.Name,
                Cut(k => Db(share.Pressure[k])),
                Cut(k => Counts(k) ? (path - (theta[k] / grid.Omega[k])) * 1e6 : double.NaN),
                fit.Square == 0 ? double.NaN : fit.Delay * 1e6,
                Cut(k => GroupDelay(sharePhase, grid.Omega, k) * 1e3));
        }
    }

    /// <summary>About the delay of a way's sound path, s: spout and tube at the speed of sound.</summary>
    private static double PathDelay(Way way, Air air) => (way.Receiver.SpoutLength + way.Tube.Sum(piece => piece.Length)) / air.SoundSpeed;

    private static double[] Log(Complex[] pressure) => [.. pressure.Select(p => Math.Log(p.Magnitude))];

    private static double[] Phase(Complex[] pressure) => [.. pressure.Select(p => p.Phase)];

    private static double[] Minimum(ProblemTables tables, double[] log)
    {
        double[] phase = new double[log.Length];
        tables.MinimumPhase.Apply(log, phase, 0, log.Length);
        return phase;
    }

    /// <summary>Phase less minimum phase and delay, without jumps; zero, give or take a half turn, at 1 kHz.</summary>
    private static double[] Unwrapped(double[] phase, double[] minimum, double[] omega, double delay)
    {
        double[] rest = new double[phase.Length];
        for (int k = 0; k < rest.Length; k++)
        {
            double raw = phase[k] - minimum[k] + (omega[k] * delay);
            rest[k] = k == 0 ? raw : raw - (2 * Math.PI * Math.Round((raw - rest[k - 1]) / (2 * Math.PI)));
        }

        double half = Math.PI * Math.Round(rest[Array.FindIndex(omega, w => w >= 2 * Math.PI * 1000)] / Math.PI);
        return [.. rest.Select(angle => angle - half)];
    }

    /// <summary>−dφ/dω from the neighbours on the grid, s; steps of more than half a turn between them do not happen.</summary>
    private static double GroupDelay(double[] phase, double[] omega, int k)
    {
        double turn = Math.IEEERemainder(phase[k + 1] - phase[k], 2 * Math.PI) + Math.IEEERemainder(phase[k] - phase[k - 1], 2 * Math.PI);
        return -turn / (omega[k + 1] - omega[k - 1]);
    }

    private static double Degrees(double angle) => angle * 180 / Math.PI;
}
