namespace XoverOpt.Workshop.Paperwork;

/// <summary>A curve of a plot.</summary>
/// <param name="Name">What stands at its end.</param>
/// <param name="Hz">Frequencies, Hz, rising.</param>
/// <param name="Values">Values; not a number where it is broken.</param>
/// <param name="Style">Its place in the palette; below 0 for the ink of the text.</param>
/// <param name="Width">Width of the line.</param>
internal sealed record PlotSeries(string Name, IReadOnlyList<double> Hz, IReadOnlyList<double> Values, int Style, double Width = 1.8)
{
    /// <summary>Its colour.</summary>
    public string Colour => Style < 0 ? Palette.Ink : Palette.Colour(Style);

    /// <summary>Its dashes; null for none.</summary>
    public string? Dash => Style < 0 ? (Style == -1 ? null : "4 3") : Palette.Dash(Style);
}

/// <summary>A shaded range of a plot.</summary>
/// <param name="Name">What stands beside it.</param>
/// <param name="Hz">Frequencies, Hz, rising.</param>
/// <param name="Low">Lower edge; not a number where there is none.</param>
/// <param name="High">Upper edge.</param>
internal sealed record PlotBand(string Name, IReadOnlyList<double> Hz, IReadOnlyList<double> Low, IReadOnlyList<double> High);

/// <summary>A limit of a plot: a level line over a range of frequencies.</summary>
/// <param name="Name">What stands beside it; empty for nothing.</param>
/// <param name="Value">The limit.</param>
/// <param name="LowHz">From here on.</param>
/// <param name="HighHz">Up to here.</param>
internal sealed record PlotLimit(string Name, double Value, double LowHz = 20, double HighHz = 20_000);
