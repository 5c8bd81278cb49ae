namespace XoverOpt.Workshop.Paperwork;

/// <summary>The response against the target and its tolerance band.</summary>
public static class ResponsePlot
{
    /// <summary>The picture.</summary>
    public static string Svg(BuildCurves curves)
    {
        double tolerance = curves.Problem.Target.ToleranceDb;
        return new FrequencyPlot
        {
            Kind = "response",
            Title = "Response against target",
            Description = FormattableString.Invariant($"Eardrum level of the build over frequency with the target and its band of {tolerance:0.##} dB either side."),
            Quantity = PlotWords.Level(curves.Problem),
            Scale = PlotWords.LevelScale([curves.LevelDb, curves.TargetDb]),
            Bands = [new(FormattableString.Invariant($"target ±{tolerance:0.##} dB"), curves.Hz, [.. curves.TargetDb.Select(db => db - tolerance)], [.. curves.TargetDb.Select(db => db + tolerance)])],
            Series = [new("this build", curves.Hz, curves.LevelDb, 0, 2.2), new("target", curves.Hz, curves.TargetDb, -2, 1.4)],
            Note = PlotWords.Ear,
        }.Svg();
    }
}
