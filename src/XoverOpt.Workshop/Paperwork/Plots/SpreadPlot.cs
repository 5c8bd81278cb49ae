using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>How units of a build spread, and the limits a unit is measured against.</summary>
public static class SpreadPlot
{
    /// <summary>The fan of a spread analysis.</summary>
    public static string Svg(SpreadResult spread, Problem problem)
    {
        double[] hz = [.. spread.Points.Select(point => point.Hz)];
        double[] low = [.. spread.Points.Select(point => point.LowDb.Value)], high = [.. spread.Points.Select(point => point.HighDb.Value)];
        return new FrequencyPlot
        {
            Kind = "spread",
            Title = "Spread of built units",
            Description = FormattableString.Invariant($"Eardrum level over frequency: the build as drawn, the median of {spread.Settings.Samples} units drawn from the spread of parts, and the range that holds {100 * spread.Settings.Coverage:0.##} % of them."),
            Quantity = PlotWords.Level(problem),
            Scale = PlotWords.LevelScale([low, high]),
            Bands = [
                new(FormattableString.Invariant($"{100 * spread.Settings.Coverage:0.##} % of units"), hz, low, high),
                new("±1 standard deviation", hz, [.. spread.Points.Select(point => point.MedianDb.Value - point.DeviationDb.Value)], [.. spread.Points.Select(point => point.MedianDb.Value + point.DeviationDb.Value)])],
            Series = [new("as drawn", hz, [.. spread.Points.Select(point => point.NominalDb)], 0, 2.2), new("median unit", hz, [.. spread.Points.Select(point => point.MedianDb.Value)], -2, 1.4)],
            Note = spread.Assumed.Count == 0 ? PlotWords.Ear : "Assumed, since nothing is stated: " + string.Join(", ", spread.Assumed),
        }.Svg();
    }

    /// <summary>The expected curve with the limits of the test bench.</summary>
    /// <param name="limits">The limits.</param>
    /// <param name="problem">The job they hold for.</param>
    /// <param name="width">Width, px.</param>
    /// <param name="height">Height, px.</param>
    public static string LimitsSvg(UnitLimits limits, Problem problem, double width = 760, double height = 380) => new FrequencyPlot
    {
        Kind = "limits",
        Title = "Expected curve and limits of a unit",
        Description = "Eardrum level that a built unit should show over frequency, with the lowest and highest that pass.",
        Quantity = PlotWords.Level(problem),
        Scale = PlotWords.LevelScale([limits.LowDb, limits.HighDb]),
        Bands = [new("passes", limits.Hz, limits.LowDb, limits.HighDb)],
        Series = [new("expected", limits.Hz, limits.ExpectedDb, 0, 2.2), new("highest", limits.Hz, limits.HighDb, 5, 1.2), new("lowest", limits.Hz, limits.LowDb, 5, 1.2)],
        Note = width < 700 ? "" : PlotWords.Ear,
    }.Svg(width, height);
}
