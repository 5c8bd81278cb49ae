using System.Text;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// A plot over log frequency from 20 Hz to 20 kHz with the ticks of the trade. Every curve bears its name at its end, names that would meet are moved
/// apart, and what lies beyond the axis is cut off there.
/// </summary>
internal sealed record FrequencyPlot
{
    private const double LowHz = 20, HighHz = 20_000;
    private const double Left = 46, Top = 44, LabelDistance = 16, Sample = 22, MostLabel = 190;

    private static readonly (double Hz, string Text)[] _named =
        [(20, "20"), (50, "50"), (100, "100"), (200, "200"), (500, "500"), (1000, "1 k"), (2000, "2 k"), (5000, "5 k"), (10_000, "10 k"), (20_000, "20 k")];

    /// <summary>Its class, a word.</summary>
    public required string Kind { get; init; }

    /// <summary>What stands above it.</summary>
    public required string Title { get; init; }

    /// <summary>What it shows, in a sentence, for those who do not see it.</summary>
    public required string Description { get; init; }

    /// <summary>Quantity and unit of the upright axis.</summary>
    public required string Quantity { get; init; }

    /// <summary>The upright axis.</summary>
    public required PlotScale Scale { get; init; }

    /// <summary>The curves, the first in front.</summary>
    public IReadOnlyList<PlotSeries> Series { get; init; } = [];

    /// <summary>Shaded ranges.</summary>
    public IReadOnlyList<PlotBand> Bands { get; init; } = [];

    /// <summary>Limits.</summary>
    public IReadOnlyList<PlotLimit> Limits { get; init; } = [];

    /// <summary>A line below it; empty for none.</summary>
    public string Note { get; init; } = "";

    /// <summary>The picture.</summary>
    /// <param name="width">Width, px.</param>
    /// <param name="height">Height, px.</param>
    public string Svg(double width = 760, double height = 380) => Draw(width, height).Svg(new(0, 0, width, height));

    /// <summary>Draws it.</summary>
    internal SvgDrawing Draw(double width, double height)
    {
        SvgDrawing drawing = new(Kind, Title, Description);
        (string Name, double At, double FromX, double FromY, Action<double, double> Draw)[] keys = [];
        string[] names = [.. Series.Select(series => series.Name), .. Bands.Select(band => band.Name), .. Limits.Select(limit => limit.Name)];
        double room = names.Max(name => Math.Min(TextWidth.Of(name, SvgDrawing.TextSize), MostLabel)) + Sample + 22;
        Box plot = new(Left, Top, width - Left - room, height - Top - 24 - (Note.Length > 0 ? 18 : 0));
        double X(double hz) => plot.X + (plot.Width * Math.Log(hz / LowHz) / Math.Log(HighHz / LowHz));
        double Y(double value) => plot.Bottom - (plot.Height * (value - Scale.Low) / (Scale.High - Scale.Low));
        Axes(drawing, plot, X, Y, width);
        foreach (PlotBand band in Bands)
        {
            (string d, double x, double y) = Shape(band, plot, X, Y);
            if (d.Length > 0)
            {
                drawing.Area(d, "band", Palette.Colour(4), 0.28);
                keys = [.. keys, (band.Name, y, x, y, (at, line) => drawing.Area($"M{N(at)} {N(line - 5)}h{N(Sample)}v10h{N(-Sample)}z", "band", Palette.Colour(4), 0.45))];
            }
        }

        foreach (PlotLimit limit in Limits.Where(limit => limit.Value >= Scale.Low && limit.Value <= Scale.High))
        {
            double from = X(Math.Max(limit.LowHz, LowHz)), to = X(Math.Min(limit.HighHz, HighHz)), y = Y(limit.Value);
            drawing.Line(from, y, to, y, "limit", Palette.Limit, 1.6, "10 3 3 3");
            if (limit.Name.Length > 0)
            {
                keys = [.. keys, (limit.Name, y, to, y, (at, line) => drawing.Line(at, line, at + Sample, line, "limit", Palette.Limit, 1.6, "10 3 3 3"))];
            }
        }

        foreach ((PlotSeries series, int number) in Series.Select((series, number) => (series, number)).Reverse())
        {
            (string d, double x, double y) = Curve(series, plot, X, Y);
            string name = series.Style < 0 ? "series" : string.Create(System.Globalization.CultureInfo.InvariantCulture, $"series series-{series.Style + 1}");
            if (d.Length > 0)
            {
                drawing.Path(d, name, series.Colour, series.Width, series.Dash);
                keys = [.. keys, (series.Name, y, x, y, (at, line) => drawing.Line(at, line, at + Sample, line, name, series.Colour, series.Width, series.Dash))];
            }
        }

        Keys(drawing, plot, keys);
        return drawing;
    }

    private void Axes(SvgDrawing drawing, Box plot, Func<double, double> x, Func<double, double> y, double width)
    {
        drawing.Text(8, 15, TextWidth.Fit(Title, 13, width - 16, bold: true), size: 13, bold: true, kindOfText: "title");
        drawing.Text(8, 32, TextWidth.Fit(Quantity, 11, width - 16), size: 11, kindOfText: "quantity");
        foreach (double tick in Scale.Ticks)
        {
            drawing.Line(plot.X, y(tick), plot.Right, y(tick), "grid", opacity: 0.22);
            drawing.Text(plot.X - 6, y(tick) + 4, Scale.Text(tick), Anchor.End, 11, kindOfText: "tick");
        }

        for (int decade = 10; decade <= 10_000; decade *= 10)
        {
            for (int digit = 2; digit < 10; digit++)
            {
                if (digit * decade is >= 20 and < 20_000)
                {
                    drawing.Line(x(digit * decade), plot.Y, x(digit * decade), plot.Bottom, "grid", opacity: 0.08);
                }
            }
        }

        foreach ((double hz, string text) in _named)
        {
            drawing.Line(x(hz), plot.Y, x(hz), plot.Bottom + 4, "grid", opacity: 0.22);
            drawing.Text(x(hz), plot.Bottom + 18, text, Anchor.Middle, 11, kindOfText: "tick");
        }

        drawing.Text(x(20_000) + 18, plot.Bottom + 18, "Hz", size: 11, kindOfText: "tick");
        drawing.Rectangle(plot, "frame", 1);
        if (Note.Length > 0)
        {
            drawing.Text(8, plot.Bottom + 36, TextWidth.Fit(Note, 10.5, width - 16), size: 10.5, kindOfText: "note");
        }
    }

    private static void Keys(SvgDrawing drawing, Box plot, (string Name, double At, double FromX, double FromY, Action<double, double> Draw)[] keys)
    {
        double[] lines = Apart([.. keys.Select(key => key.At)], plot.Y + 6, plot.Bottom - 4);
        for (int i = 0; i < keys.Length; i++)
        {
            double at = plot.Right + 12;
            drawing.Path($"M{N(keys[i].FromX)} {N(keys[i].FromY)}L{N(at)} {N(lines[i])}", "leader", width: 0.7, opacity: 0.55);
            keys[i].Draw(at, lines[i]);
            drawing.Text(at + Sample + 5, lines[i] + 4, TextWidth.Fit(keys[i].Name, SvgDrawing.TextSize, MostLabel), kindOfText: "key");
        }
    }

    /// <summary>Heights near the wanted ones and in their order, none nearer than a line to another.</summary>
    internal static double[] Apart(double[] wanted, double top, double bottom)
    {
        double[] at = new double[wanted.Length];
        int[] order = [.. Enumerable.Range(0, wanted.Length).OrderBy(i => wanted[i]).ThenBy(i => i)];
        double last = double.NegativeInfinity;
        foreach (int i in order)
        {
            at[i] = last = Math.Max(Math.Max(wanted[i], top), last + LabelDistance);
        }

        double next = bottom + LabelDistance;
        foreach (int i in order.Reverse())
        {
            at[i] = next = Math.Min(at[i], next - LabelDistance);
        }

        return at;
    }

    /// <summary>The path of a curve inside the frame and its last point there.</summary>
    private static (string Path, double X, double Y) Curve(PlotSeries series, Box plot, Func<double, double> x, Func<double, double> y)
    {
        StringBuilder path = new();
        (double X, double Y) last = default, pen = (double.NaN, double.NaN);
        for (int k = 1; k < series.Hz.Count; k++)
        {
            (double, double) from = (x(series.Hz[k - 1]), y(series.Values[k - 1])), to = (x(series.Hz[k]), y(series.Values[k]));
            if (Inside(from, to, plot) is not { } piece)
            {
                continue;
            }

            if (pen != piece.From)
            {
                path.Append('M').Append(N(piece.From.X)).Append(' ').Append(N(piece.From.Y));
            }

            path.Append('L').Append(N(piece.To.X)).Append(' ').Append(N(piece.To.Y));
            last = pen = piece.To;
        }

        return (path.ToString(), last.X, last.Y);
    }

    /// <summary>What of a straight line lies inside a box (Liang and Barsky 1984); null for nothing.</summary>
    private static ((double X, double Y) From, (double X, double Y) To)? Inside((double X, double Y) a, (double X, double Y) b, Box box)
    {
        if (!double.IsFinite(a.Y) || !double.IsFinite(b.Y))
        {
            return null;
        }

        double enter = 0, leave = 1, dx = b.X - a.X, dy = b.Y - a.Y;
        foreach ((double p, double q) in new[] { (-dx, a.X - box.X), (dx, box.Right - a.X), (-dy, a.Y - box.Y), (dy, box.Bottom - a.Y) })
        {
            if (p == 0)
            {
                if (q < 0)
                {
                    return null;
                }

                continue;
            }

            (enter, leave) = p < 0 ? (Math.Max(enter, q / p), leave) : (enter, Math.Min(leave, q / p));
        }

        return enter > leave ? null
            : (enter == 0 ? a : (a.X + (enter * dx), a.Y + (enter * dy)), leave == 1 ? b : (a.X + (leave * dx), a.Y + (leave * dy)));
    }

    /// <summary>The outline of a range, cut at the frame, and the middle of its right end.</summary>
    private static (string Path, double X, double Y) Shape(PlotBand band, Box plot, Func<double, double> x, Func<double, double> y)
    {
        int[] there = [.. Enumerable.Range(0, band.Hz.Count).Where(k =>
            double.IsFinite(band.Low[k]) && double.IsFinite(band.High[k]) && x(band.Hz[k]) >= plot.X - 0.5 && x(band.Hz[k]) <= plot.Right + 0.5)];
        if (there.Length < 2)
        {
            return ("", 0, 0);
        }

        double Clip(double value) => Math.Clamp(y(value), plot.Y, plot.Bottom);
        StringBuilder path = new();
        foreach (string point in there.Select(k => $"{N(x(band.Hz[k]))} {N(Clip(band.High[k]))}")
            .Concat(there.Reverse().Select(k => $"{N(x(band.Hz[k]))} {N(Clip(band.Low[k]))}")))
        {
            path.Append(path.Length == 0 ? 'M' : 'L').Append(point);
        }

        int end = there[^1];
        return (path.Append('z').ToString(), x(band.Hz[end]), (Clip(band.High[end]) + Clip(band.Low[end])) / 2);
    }

    private static string N(double value) => SvgDrawing.Number(value);
}
