using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Paperwork;

namespace XoverOpt.Worker.Api;

/// <summary>The curves of a build. Lists run with <paramref name="Hz"/>; null where a figure does not look.</summary>
/// <param name="Caution">What must be said where levels are shown.</param>
/// <param name="DriveMillivolt">Voltage of the source the levels are for, mV RMS.</param>
/// <param name="SourceOhm">Its resistance, Ω.</param>
/// <param name="ToleranceDb">What the level may be off the target, dB.</param>
/// <param name="PhaseLimitDeg">What the phase may be off, degrees either side.</param>
/// <param name="PhaseKind">excess or delayRemoved: what the phase limit is held against.</param>
/// <param name="ArrivalLimitUs">What the ways may arrive apart, µs.</param>
/// <param name="MinImpedanceOhm">Least impedance the job allows, Ω; absent where it sets none.</param>
/// <param name="Hz">Frequencies, Hz.</param>
/// <param name="LevelDb">Eardrum SPL, dB re 20 µPa.</param>
/// <param name="TargetDb">The target at the level it is judged at.</param>
/// <param name="Ways">Each way's share.</param>
/// <param name="PhaseDeg">Phase without its pure delay, degrees.</param>
/// <param name="MinimumDeg">Minimum phase, degrees.</param>
/// <param name="DeviationDeg">The phase held against the limit, degrees.</param>
/// <param name="GroupDelayMs">Group delay, ms.</param>
/// <param name="SummingLossDb">Summing loss, dB.</param>
/// <param name="ImpedanceOhm">Size of the impedance, Ω.</param>
/// <param name="ImpedanceDeg">Its angle, degrees.</param>
/// <param name="LoudestDb">The loudest before a receiver meets a limit, dB re 20 µPa.</param>
/// <param name="Peaks">Peak levels the job asks for.</param>
public sealed record CurvesView(
    string Caution,
    double DriveMillivolt,
    double SourceOhm,
    double ToleranceDb,
    double PhaseLimitDeg,
    PhaseKind PhaseKind,
    double ArrivalLimitUs,
    double? MinImpedanceOhm,
    double?[] Hz,
    double?[] LevelDb,
    double?[] TargetDb,
    IReadOnlyList<WayCurvesView> Ways,
    double?[] PhaseDeg,
    double?[] MinimumDeg,
    double?[] DeviationDeg,
    double?[] GroupDelayMs,
    double?[] SummingLossDb,
    double?[] ImpedanceOhm,
    double?[] ImpedanceDeg,
    double?[] LoudestDb,
    IReadOnlyList<PeakSpl> Peaks)
{
    internal static CurvesView Of(BuildInJob build)
    {
        Problem problem = build.Job.Problem;
        BuildCurves curves = BuildCurves.Of(build.Build.Earpiece, problem);
        Headroom[] rooms = [.. curves.Hz.Select(hz => Headroom.At(build.Build.Earpiece, problem.Ear, hz))];
        return new(
            BuildFile.Caution,
            1e3 * problem.Source.Voltage,
            problem.Source.Resistance,
            problem.Target.ToleranceDb,
            problem.Phase.LimitDeg,
            problem.Phase.Kind,
            1e6 * problem.Phase.ArrivalLimit,
            problem.Limits.MinImpedance,
            Rounded(curves.Hz, 2),
            Rounded(curves.LevelDb, 3),
            Rounded(curves.TargetDb, 3),
            [.. curves.Ways.Select((way, k) => new WayCurvesView(
                way.Name,
                build.Build.Earpiece.Ways[k].Polarity == Polarity.Inverted,
                Rounded(way.ShareDb, 3),
                Rounded(way.DelayUs, 2),
                Rounded(way.GroupDelayMs, 5)))],
            Rounded(curves.PhaseDeg, 3),
            Rounded(curves.MinimumPhaseDeg, 3),
            Rounded(curves.PhaseFigureDeg, 4),
            Rounded(curves.GroupDelayMs, 5),
            Rounded(curves.SummingLossDb, 3),
            Rounded(curves.ImpedanceOhm, 3),
            Rounded(curves.ImpedanceDeg, 3),
            Rounded(rooms.Select(room => room.Way < 0 ? double.NaN : room.Spl), 2),
            problem.Limits.MinPeakSpl);
    }

    internal static double?[] Rounded(IEnumerable<double> values, int decimals) =>
        [.. values.Select(value => double.IsFinite(value) ? Math.Round(value, decimals) : (double?)null)];
}

/// <summary>One way's share.</summary>
/// <param name="Name">The way.</param>
/// <param name="LeadsTurned">Whether its leads are turned over.</param>
/// <param name="LevelDb">Its level, dB re 20 µPa.</param>
/// <param name="DelayUs">Its delay beyond its own minimum phase, µs, where it is within 10 dB of the whole.</param>
/// <param name="GroupDelayMs">Its group delay, ms.</param>
public sealed record WayCurvesView(string Name, bool LeadsTurned, double?[] LevelDb, double?[] DelayUs, double?[] GroupDelayMs);

/// <summary>Between which levels built units lie. Lists run with <paramref name="Hz"/>.</summary>
/// <param name="Caution">What must be said where levels are shown.</param>
/// <param name="Units">Units drawn.</param>
/// <param name="Coverage">Share of units between low and high at each frequency.</param>
/// <param name="Yield">Share of units that keep every limit.</param>
/// <param name="YieldError">Its standard error.</param>
/// <param name="TakenAsExact">Parts of which no spread is stated.</param>
/// <param name="Hz">Frequencies, Hz.</param>
/// <param name="LowDb">Low level, dB re 20 µPa.</param>
/// <param name="MedianDb">Median level.</param>
/// <param name="HighDb">High level.</param>
public sealed record FanView(
    string Caution, int Units, double Coverage, double Yield, double YieldError, IReadOnlyList<string> TakenAsExact, double?[] Hz, double?[] LowDb, double?[] MedianDb, double?[] HighDb)
{
    internal static FanView Of(BuildInJob build, int units, CancellationToken gone)
    {
        SpreadResult result = Workshop.Running.SpreadRun.Of(build.Job.Problem, [build.Build.Earpiece], new() { Samples = units }, Environment.ProcessorCount, gone)[0];
        double?[] Of(Func<SpreadPoint, double> value) => CurvesView.Rounded(result.Points.Select(value), 3);
        return new(
            BuildFile.Caution,
            units,
            result.Settings.Coverage,
            result.Yield.Value,
            result.Yield.StandardError,
            result.Assumed,
            Of(point => point.Hz),
            Of(point => point.LowDb.Value),
            Of(point => point.MedianDb.Value),
            Of(point => point.HighDb.Value));
    }
}
