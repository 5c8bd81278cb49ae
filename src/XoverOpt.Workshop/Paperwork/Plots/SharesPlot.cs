namespace XoverOpt.Workshop.Paperwork;

/// <summary>Each way's share of the eardrum pressure, and the whole.</summary>
public static class SharesPlot
{
    /// <summary>The picture.</summary>
    public static string Svg(BuildCurves curves)
    {
        double high = curves.Ways.SelectMany(way => way.ShareDb).Concat(curves.LevelDb).Where(double.IsFinite).DefaultIfEmpty(100).Max() + 2;
        return new FrequencyPlot
        {
            Kind = "shares",
            Title = "What each way contributes",
            Description = "Level of each way's share of the eardrum pressure over frequency, and of the whole; shares add up with their phases.",
            Quantity = PlotWords.Level(curves.Problem),
            Scale = PlotScale.Around(high - 50, high),
            Series = [new("all ways", curves.Hz, curves.LevelDb, -1, 2), .. curves.Ways.Select((way, i) => new PlotSeries(way.Name, curves.Hz, way.ShareDb, i))],
            Note = PlotWords.Ear,
        }.Svg();
    }
}
