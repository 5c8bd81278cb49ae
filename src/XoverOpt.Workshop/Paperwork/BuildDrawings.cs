using XoverOpt.Search;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>Every drawing of a build by its name, for command line, API and pages.</summary>
public static class BuildDrawings
{
    /// <summary>Units drawn for a spread where nobody asks for another number: enough for a picture, in about a second.</summary>
    public const int Samples = 2000;

    private static readonly (string Name, Func<BuildInJob, int, CancellationToken, string> Draw)[] _all =
    [
        ("schematic", (build, _, _) => NetworkSchematic.Svg(build.Build.Earpiece)),
        ("assembly", (build, _, _) => AssemblyDrawing.Svg(build.Build.Earpiece, build.Body)),
        ("response", (build, _, _) => ResponsePlot.Svg(Curves(build))),
        ("shares", (build, _, _) => SharesPlot.Svg(Curves(build))),
        ("phase", (build, _, _) => PhasePlot.Svg(Curves(build))),
        ("phase-figure", (build, _, _) => PhasePlot.FigureSvg(Curves(build))),
        ("arrival", (build, _, _) => DelayPlot.ArrivalSvg(Curves(build))),
        ("group-delay", (build, _, _) => DelayPlot.GroupSvg(Curves(build))),
        ("summing-loss", (build, _, _) => SummingPlot.Svg(Curves(build))),
        ("impedance", (build, _, _) => ImpedancePlot.Svg(Curves(build))),
        ("peak-level", (build, _, _) => PeakPlot.Svg(Curves(build))),
        ("spread", (build, threads, stop) => SpreadPlot.Svg(Spread(build, threads, stop), build.Job.Problem)),
        ("limits", (build, threads, stop) => SpreadPlot.LimitsSvg(Limits(build, threads, stop), build.Job.Problem)),
    ];

    /// <summary>Their names.</summary>
    public static IReadOnlyList<string> Names { get; } = [.. _all.Select(drawing => drawing.Name)];

    /// <summary>Whether a drawing takes a spread analysis, and so some time.</summary>
    public static bool DrawsUnits(string name) => name is "spread" or "limits";

    /// <summary>Where <see cref="Limits"/> come from, in words.</summary>
    public static string LimitsWords { get; } = FormattableString.Invariant(
        $"99 % of {Samples} units drawn from the spread of parts, and {TestLimits.UsualAllowanceDb} dB for the measurement.");

    /// <summary>Draws one.</summary>
    /// <param name="name">One of <see cref="Names"/>.</param>
    /// <param name="build">The build.</param>
    /// <param name="threads">Threads for a spread analysis; changes the time, not the picture.</param>
    /// <param name="stop">Breaks a spread analysis off.</param>
    /// <returns>SVG.</returns>
    /// <exception cref="ArgumentException">No such drawing.</exception>
    public static string Svg(string name, BuildInJob build, int threads, CancellationToken stop = default) =>
        (_all.FirstOrDefault(drawing => drawing.Name == name).Draw ?? throw new ArgumentException($"No drawing: {name}.", nameof(name)))(build, threads, stop);

    /// <summary>The usual limits of a unit, from the spread of its parts.</summary>
    public static UnitLimits Limits(BuildInJob build, int threads, CancellationToken stop = default)
    {
        IReadOnlyList<TestLimit> rows = TestLimits.Of(Spread(build, threads, stop)).Rows;
        return new([.. rows.Select(row => row.Hz)], [.. rows.Select(row => row.ExpectedDb)], [.. rows.Select(row => row.LowDb)], [.. rows.Select(row => row.HighDb)]);
    }

    private static BuildCurves Curves(BuildInJob build) => BuildCurves.Of(build.Build.Earpiece, build.Job.Problem);

    private static SpreadResult Spread(BuildInJob build, int threads, CancellationToken stop) =>
        SpreadRun.Of(build.Job.Problem, [build.Build.Earpiece], new SpreadSettings { Samples = Samples }, threads, stop)[0];
}
