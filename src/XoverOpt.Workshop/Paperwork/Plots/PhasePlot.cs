using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>The phase at the eardrum and the figure that is judged.</summary>
public static class PhasePlot
{
    /// <summary>The phase without its delay, and the minimum phase of the level.</summary>
    public static string Svg(BuildCurves curves)
    {
        double[] phase = [.. curves.PhaseDeg.Concat(curves.MinimumPhaseDeg).Where(double.IsFinite)];
        return new FrequencyPlot
        {
            Kind = "phase",
            Title = "Phase without its delay",
            Description = "Phase at the eardrum over frequency after a pure delay was taken out, and the minimum phase that belongs to the level.",
            Quantity = "phase, degrees",
            Scale = PlotScale.Around(Math.Max(phase.Min(), -720), Math.Min(phase.Max(), 720)),
            Series = [new("minimum phase", curves.Hz, curves.MinimumPhaseDeg, -2, 1.6), new("phase", curves.Hz, curves.PhaseDeg, 0, 2.4)],
            Note = "The minimum phase follows from the level alone; where both curves lie on one another, nothing is out of step.",
        }.Svg();
    }

    /// <summary>The phase figure with its limits.</summary>
    public static string FigureSvg(BuildCurves curves)
    {
        PhaseGoal goal = curves.Problem.Phase;
        bool excess = goal.Kind == PhaseKind.Excess;
        string limit = FormattableString.Invariant($"limit ±{goal.LimitDeg:0.##}°");
        double most = Math.Max(goal.LimitDeg * 1.2, curves.PhaseFigureDeg.Where(double.IsFinite).Select(Math.Abs).DefaultIfEmpty(0).Max());
        return new FrequencyPlot
        {
            Kind = "phase-figure",
            Title = excess ? "Excess phase" : "Phase, delay taken out",
            Description = FormattableString.Invariant($"The phase figure over its band from {goal.BandLowHz:0.#} to {goal.BandHighHz:0.#} Hz, with the limits of {goal.LimitDeg:0.##} degrees either side."),
            Quantity = excess ? "phase beyond minimum phase and delay, degrees" : "phase beyond a pure delay, degrees",
            Scale = PlotScale.Around(-most, most),
            Series = [new(excess ? "excess phase" : "phase", curves.Hz, curves.PhaseFigureDeg, 0, 2)],
            Limits = [new(limit, goal.LimitDeg, goal.BandLowHz, goal.BandHighHz), new("", -goal.LimitDeg, goal.BandLowHz, goal.BandHighHz)],
            Note = "An all-pass hump or a way out of step shows here; a pure delay or a bass lift does not.",
        }.Svg();
    }
}
