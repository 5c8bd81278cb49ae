namespace XoverOpt.Workshop.Paperwork;

/// <summary>Magnitude of the impedance at the socket.</summary>
public static class ImpedancePlot
{
    /// <summary>The picture.</summary>
    public static string Svg(BuildCurves curves)
    {
        double? limit = curves.Problem.Limits.MinImpedance;
        return new FrequencyPlot
        {
            Kind = "impedance",
            Title = "Impedance at the socket",
            Description = "Magnitude of the impedance at the socket over frequency" + (limit is null ? "." : ", with the least that the job allows."),
            Quantity = "impedance, Ω",
            Scale = PlotScale.Around(0, Math.Max(curves.ImpedanceOhm.Where(double.IsFinite).DefaultIfEmpty(1).Max(), (limit ?? 0) * 1.2)),
            Series = [new("|Z|", curves.Hz, curves.ImpedanceOhm, 0, 2)],
            Limits = limit is { } ohm
                ? [new(FormattableString.Invariant($"at least {ohm:0.##} Ω"), ohm, curves.Problem.Target.BandLowHz, curves.Problem.Target.BandHighHz)]
                : [],
        }.Svg();
    }
}
