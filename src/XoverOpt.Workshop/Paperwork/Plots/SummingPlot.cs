namespace XoverOpt.Workshop.Paperwork;

/// <summary>What the ways lose against each other.</summary>
public static class SummingPlot
{
    /// <summary>The picture.</summary>
    public static string Svg(BuildCurves curves) => new FrequencyPlot
    {
        Kind = "summing-loss",
        Title = "Summing loss",
        Description = "How far the sum of the ways stays below the sum of their magnitudes over frequency; 0 dB is coherent.",
        Quantity = "loss, dB",
        Scale = PlotScale.Around(0, Math.Clamp(curves.SummingLossDb.Where(double.IsFinite).DefaultIfEmpty(0).Max(), 4, 30)),
        Series = [new("summing loss", curves.Hz, curves.SummingLossDb, 0, 2)],
        Note = "0 dB: all ways in step. 3 dB: two equal ways a quarter turn apart.",
    }.Svg();
}
