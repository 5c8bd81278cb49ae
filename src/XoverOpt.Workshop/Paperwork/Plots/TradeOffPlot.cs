using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>A build in a trade-off.</summary>
/// <param name="Rank">Its rank.</param>
/// <param name="X">The figure along.</param>
/// <param name="Y">The figure upright.</param>
/// <param name="OnFront">Whether no other build beats it in both.</param>
/// <param name="Fits">Whether it keeps every limit.</param>
public sealed record TradeOffPoint(int Rank, double X, double Y, bool OnFront, bool Fits);

/// <summary>Builds by two figures: the front filled and joined, the others hollow, those that break limits crossed out.</summary>
public static class TradeOffPlot
{
    private const double Left = 56, Top = 44, Size = 11, Dot = 4.5;

    private static readonly Dictionary<string, (string Words, Func<RankedBuild, double> Of)> _figures = new()
    {
        ["cost"] = ("cost", build => build.Cost.Total),
        ["magnitudeRmsDb"] = ("magnitude error, dB RMS", build => build.Figures.MagnitudeRmsDb),
        ["phaseMaxDeg"] = ("largest phase, degrees", build => build.Figures.PhaseMaxDeg),
        ["arrivalSpreadUs"] = ("arrival spread, µs", build => build.Figures.ArrivalSpreadUs),
        ["partsCost"] = ("parts of one earpiece, price", build => (double?)build.Figures.PartsCost ?? double.NaN),
        ["receivers"] = ("receivers in one earpiece", build => build.Figures.Receivers),
        ["splAt100mV"] = ("eardrum level at 100 mV and 500 Hz, dB", build => build.Figures.SplAt100mV),
    };

    /// <summary>The plot of one front of a list of builds.</summary>
    public static string Svg(IReadOnlyList<RankedBuild> builds, TradeOffFront front)
    {
        (string x, Func<RankedBuild, double> ofX) = _figures[front.X];
        (string y, Func<RankedBuild, double> ofY) = _figures[front.Y];
        return Svg($"Trade-off in {front.Name}", x, y, [.. builds.Select(build => new TradeOffPoint(build.Rank, ofX(build), ofY(build), front.Ranks.Contains(build.Rank), build.Feasible))]);
    }

    /// <summary>The plot of points.</summary>
    /// <param name="title">What stands above it.</param>
    /// <param name="along">Figure and unit along.</param>
    /// <param name="upright">Figure and unit upright.</param>
    /// <param name="points">The builds; those of which a figure is not known are left out.</param>
    /// <param name="width">Width, px.</param>
    /// <param name="height">Height, px.</param>
    public static string Svg(string title, string along, string upright, IReadOnlyList<TradeOffPoint> points, double width = 760, double height = 420) =>
        Draw(title, along, upright, points, width, height).Svg(new(0, 0, width, height));

    internal static SvgDrawing Draw(string title, string along, string upright, IReadOnlyList<TradeOffPoint> points, double width, double height)
    {
        SvgDrawing drawing = new("trade-off", title, $"Builds by {along} and {upright}; filled where no other build is better in both, with the rank beside.");
        TradeOffPoint[] shown = [.. points.Where(point => double.IsFinite(point.X) && double.IsFinite(point.Y))];
        PlotScale xs = Wide(shown.Select(point => point.X)), ys = Wide(shown.Select(point => point.Y));
        Box plot = new(Left, Top, width - Left - 24, height - Top - 62);
        double X(double value) => plot.X + (plot.Width * (value - xs.Low) / (xs.High - xs.Low));
        double Y(double value) => plot.Bottom - (plot.Height * (value - ys.Low) / (ys.High - ys.Low));
        drawing.Text(8, 15, TextWidth.Fit(title, 13, width - 16, bold: true), size: 13, bold: true, kindOfText: "title");
        drawing.Text(8, 32, TextWidth.Fit(upright, 11, width - 16), size: 11, kindOfText: "quantity");
        foreach (double tick in xs.Ticks)
        {
            drawing.Line(X(tick), plot.Y, X(tick), plot.Bottom + 4, "grid", opacity: 0.2);
            drawing.Text(X(tick), plot.Bottom + 18, xs.Text(tick), Anchor.Middle, 11, kindOfText: "tick");
        }

        foreach (double tick in ys.Ticks)
        {
            drawing.Line(plot.X, Y(tick), plot.Right, Y(tick), "grid", opacity: 0.2);
            drawing.Text(plot.X - 6, Y(tick) + 4, ys.Text(tick), Anchor.End, 11, kindOfText: "tick");
        }

        drawing.Rectangle(plot, "frame", 1);
        drawing.Text(plot.Right, plot.Bottom + 32, TextWidth.Fit(along, 11, plot.Width), Anchor.End, 11, kindOfText: "quantity");
        drawing.Text(8, plot.Bottom + 50, TextWidth.Fit("Filled: no other build is better in both. Crossed out: breaks a limit. Numbers are ranks; equal points share them.", 10.5, width - 16), size: 10.5, kindOfText: "note");
        (double X, double Y)[] front = [.. shown.Where(point => point.OnFront).OrderBy(point => point.X).ThenByDescending(point => point.Y).Select(point => (X(point.X), Y(point.Y)))];
        if (front.Length > 1)
        {
            drawing.Path("M" + string.Join('L', front.Select(at => $"{SvgDrawing.Number(at.X)} {SvgDrawing.Number(at.Y)}")), "series series-1", Palette.Colour(0), 1.4, "5 3");
        }

        // Builds that fall on one spot bear one label together.
        (double X, double Y, string Text)[] spots = [.. shown.GroupBy(point => (Math.Round(X(point.X)), Math.Round(Y(point.Y))))
            .Select(spot => (spot.Key.Item1, spot.Key.Item2, string.Join(", ", spot.Select(point => FormattableString.Invariant($"{point.Rank}")))))];
        foreach (TradeOffPoint point in shown)
        {
            (double x, double y) = (X(point.X), Y(point.Y));
            drawing.Circle(x, y, Dot, point.OnFront, point.OnFront ? Palette.Colour(0) : Palette.Ink, "point");
            if (!point.Fits)
            {
                drawing.Path($"M{SvgDrawing.Number(x - Dot)} {SvgDrawing.Number(y - Dot)}l9 9m0 -9l-9 9", "broken", Palette.Limit, 1.4);
            }
        }

        Label(drawing, spots, front, plot);
        return drawing;
    }

    private static PlotScale Wide(IEnumerable<double> values)
    {
        double[] all = [.. values];
        if (all.Length == 0)
        {
            return PlotScale.Around(0, 1);
        }

        // Of things that are counted there are no halves.
        if (all.All(value => value == Math.Round(value)) && all.Max() - all.Min() <= 8)
        {
            return new(all.Min() - 1, all.Max() + 1, 1);
        }

        double pad = Math.Max((all.Max() - all.Min()) * 0.06, Math.Abs(all.Max()) * 1e-3);
        return PlotScale.Around(all.Min() - (all.Min() >= 0 ? Math.Min(pad, all.Min()) : pad), all.Max() + pad);
    }

    /// <summary>Puts each label at the nearest free place around its spot, with a line to it where that is not beside it.</summary>
    private static void Label(SvgDrawing drawing, IReadOnlyList<(double X, double Y, string Text)> spots, (double X, double Y)[] front, Box plot)
    {
        List<Box> taken = [.. spots.Select(spot => new Box(spot.X - Dot, spot.Y - Dot, 2 * Dot, 2 * Dot)), .. Along(front)];
        foreach ((double x, double y, string text) in spots)
        {
            string fit = TextWidth.Fit(text, Size, plot.Width / 3);
            Box size = SvgDrawing.TextBox(0, 0, fit, Anchor.Start, Size, false);
            for (double far = 7; far < 200; far += 6)
            {
                Box? free = Places(x, y, far, size).Select(box => (Box?)box).FirstOrDefault(box => plot.Holds(box!.Value) && !taken.Any(other => other.Overlaps(box.Value)));
                if (free is { } at)
                {
                    taken.Add(at);
                    if (far > 7)
                    {
                        double nearX = Math.Clamp(x, at.X, at.Right), nearY = Math.Clamp(y, at.Y, at.Bottom);
                        drawing.Line(x, y, nearX, nearY, "leader", width: 0.7, opacity: 0.55);
                    }

                    drawing.Text(at.X, SvgDrawing.Baseline(at.Y, Size), fit, size: Size, kindOfText: "key");
                    break;
                }
            }
        }
    }

    /// <summary>Small boxes along the front, so that no label lies on its line.</summary>
    private static IEnumerable<Box> Along((double X, double Y)[] front) =>
        from pair in front.Zip(front.Skip(1))
        let steps = (int)Math.Ceiling((Math.Abs(pair.Second.X - pair.First.X) + Math.Abs(pair.Second.Y - pair.First.Y)) / 3) + 1
        from step in Enumerable.Range(0, steps + 1)
        let t = (double)step / steps
        select new Box(pair.First.X + (t * (pair.Second.X - pair.First.X)) - 1, pair.First.Y + (t * (pair.Second.Y - pair.First.Y)) - 1, 2, 2);

    private static IEnumerable<Box> Places(double x, double y, double far, Box size) =>
        from turn in Enumerable.Range(0, 16)
        let angle = (turn % 2 == 0 ? turn : -turn - 1) * Math.PI / 16
        let cx = x + (Math.Cos(angle) * (far + (size.Width / 2)))
        let cy = y - (Math.Sin(angle) * (far + (size.Height / 2)))
        select new Box(cx - (size.Width / 2), cy - (size.Height / 2), size.Width, size.Height);
}
