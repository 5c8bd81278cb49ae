using XoverOpt.Worker.Text;

namespace XoverOpt.Worker.Pages;

/// <summary>A figure that is drawn against another.</summary>
/// <param name="Name">Its name in a result file.</param>
/// <param name="Words">What it is.</param>
/// <param name="Unit">Its unit; empty for a plain number.</param>
/// <param name="Decimals">Digits behind the point.</param>
internal sealed record PlotFigure(string Name, string Words, string Unit, int Decimals)
{
    private static readonly PlotFigure[] Known =
    [
        new("cost", "cost", "", 3),
        new("magnitudeRmsDb", "magnitude error RMS", "dB", 2),
        new("phaseMaxDeg", "largest phase", "°", 1),
        new("arrivalSpreadUs", "arrival spread", "µs", 1),
        new("partsCost", "price of parts", "", 2),
        new("receivers", "receivers", "", 0),
        new("splAt100mV", "SPL at 100 mV", "dB", 1),
    ];

    /// <summary>Words and unit for an axis.</summary>
    public string Title => Unit.Length == 0 ? Words : $"{Words}, {Unit}";

    /// <summary>The figure of a name.</summary>
    public static PlotFigure Of(string name) => Known.FirstOrDefault(figure => figure.Name == name) ?? new(name, name, "", 3);

    /// <summary>Its value for a build; null where it has none.</summary>
    public double? Value(BuildRow build) => Name == "cost" ? build.Cost : build[Name];

    /// <summary>A value in words.</summary>
    public string Text(double value) => $"{Words} {Numbers.Fixed(value, Decimals)}{(Unit.Length == 0 ? "" : Unit == "°" ? Unit : " " + Unit)}";
}
