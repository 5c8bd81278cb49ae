using System.Globalization;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Html;
using XoverOpt.Worker.Text;

namespace XoverOpt.Worker.Pages;

/// <summary>Two figures of every build against each other; those on the front are filled, joined and bear their rank.</summary>
/// <param name="Name">What is traded.</param>
/// <param name="X">The figure to the right.</param>
/// <param name="Y">The figure upwards.</param>
/// <param name="Points">The builds that have both.</param>
internal sealed record TradeOffPlot(string Name, PlotFigure X, PlotFigure Y, IReadOnlyList<TradeOffPoint> Points)
{
    private const double Width = 340, Height = 220, Left = 54, Right = 14, Top = 12, Bottom = 40;

    /// <summary>The plot of a front in a result file.</summary>
    public static TradeOffPlot Of(JsonNode front, IReadOnlyList<BuildRow> builds)
    {
        PlotFigure x = PlotFigure.Of((string)front["x"]!), y = PlotFigure.Of((string)front["y"]!);
        int[] ranks = [.. front["ranks"]!.AsArray().Select(rank => (int)rank!)];
        return new(
            (string)front["name"]!,
            x,
            y,
            [.. builds.Select(build => new TradeOffPoint(build.Rank, x.Value(build) ?? double.NaN, y.Value(build) ?? double.NaN, ranks.Contains(build.Rank), build.Feasible))
                .Where(point => double.IsFinite(point.X) && double.IsFinite(point.Y))]);
    }

    /// <summary>The drawing, SVG; each point leads to its build.</summary>
    /// <param name="runId">The run.</param>
    public IHtmlContent Draw(string runId)
    {
        (double low, double high, double step) x = Scale([.. Points.Select(point => point.X)], X.Decimals == 0), y = Scale([.. Points.Select(point => point.Y)], Y.Decimals == 0);
        double AtX(double value) => Left + ((value - x.low) / (x.high - x.low) * (Width - Left - Right));
        double AtY(double value) => Height - Bottom - ((value - y.low) / (y.high - y.low) * (Height - Top - Bottom));
        StringBuilder svg = new();
        void Add(FormattableString text) => svg.Append(text.ToString(CultureInfo.InvariantCulture));
        Add($"<svg class=\"tradeoff\" viewBox=\"0 0 {Width} {Height}\" role=\"group\" aria-label=\"{Safe(X.Words)} against {Safe(Y.Words)}\">");
        foreach (double tick in Ticks(x))
        {
            Add($"<line class=\"rule\" x1=\"{AtX(tick):0.#}\" x2=\"{AtX(tick):0.#}\" y1=\"{Top}\" y2=\"{Height - Bottom}\"/>");
            Add($"<text class=\"tick\" x=\"{AtX(tick):0.#}\" y=\"{Height - Bottom + 14}\" text-anchor=\"middle\">{Label(tick, x.step)}</text>");
        }

        foreach (double tick in Ticks(y))
        {
            Add($"<line class=\"rule\" x1=\"{Left}\" x2=\"{Width - Right}\" y1=\"{AtY(tick):0.#}\" y2=\"{AtY(tick):0.#}\"/>");
            Add($"<text class=\"tick\" x=\"{Left - 5}\" y=\"{AtY(tick) + 4:0.#}\" text-anchor=\"end\">{Label(tick, y.step)}</text>");
        }

        Add($"<text class=\"axis\" x=\"{(Left + Width - Right) / 2}\" y=\"{Height - 6}\" text-anchor=\"middle\">{Safe(X.Title)}</text>");
        Add($"<text class=\"axis\" transform=\"translate(12 {(Top + Height - Bottom) / 2}) rotate(-90)\" text-anchor=\"middle\">{Safe(Y.Title)}</text>");
        TradeOffPoint[] front = [.. Points.Where(point => point.OnFront).OrderBy(point => point.X).ThenBy(point => point.Y)];
        svg.Append("<polyline class=\"front\" points=\"").AppendJoin(' ', front.Select(point => FormattableString.Invariant($"{AtX(point.X):0.#},{AtY(point.Y):0.#}"))).Append("\"/>");
        List<(double X, double Y)> labels = [];
        foreach (TradeOffPoint point in Points.OrderBy(point => point.OnFront))
        {
            double px = AtX(point.X), py = AtY(point.Y);
            string kind = point.OnFront ? "on" : point.Feasible ? "off" : "broken";
            string says = $"Build {point.Rank}: {X.Text(point.X)}, {Y.Text(point.Y)}{(point.OnFront ? ", on the front" : point.Feasible ? "" : ", breaks a limit")}";
            Add($"<a href=\"/runs/{Safe(runId)}/builds/{point.Rank}\" aria-label=\"{Safe(says)}\"><title>{Safe(says)}</title>");
            if (kind == "broken")
            {
                Add($"<path class=\"broken\" d=\"M{px - 4:0.#} {py - 4:0.#}l8 8m0 -8l-8 8\"/>");
            }

            Add($"<circle class=\"{kind}\" cx=\"{px:0.#}\" cy=\"{py:0.#}\" r=\"{(kind == "broken" ? 7 : point.OnFront ? 5 : 4)}\"/>");
            double lx = Math.Min(px + 7, Width - 12), ly = Math.Max(py - 6, Top + 8);
            if (point.OnFront && labels.All(other => Math.Abs(other.X - lx) > 16 || Math.Abs(other.Y - ly) > 11))
            {
                labels.Add((lx, ly));
                Add($"<text class=\"rank\" x=\"{lx:0.#}\" y=\"{ly:0.#}\">{point.Rank}</text>");
            }

            svg.Append("</a>");
        }

        return new HtmlString(svg.Append("</svg>").ToString());
    }

    private static (double Low, double High, double Step) Scale(double[] values, bool whole)
    {
        double low = values.Min(), high = values.Max(), span = Math.Max(high - low, Math.Max(Math.Abs(high) * 1e-3, 1e-6));
        double raw = span / 4, power = Math.Pow(10, Math.Floor(Math.Log10(raw)));
        double step = power * (raw / power <= 1 ? 1 : raw / power <= 2 ? 2 : raw / power <= 5 ? 5 : 10);
        step = whole ? Math.Max(step, 1) : step;
        return (Math.Floor((low >= 0 ? Math.Max(low - (0.1 * step), 0) : low - (0.1 * step)) / step) * step, Math.Ceiling((high + (0.1 * step)) / step) * step, step);
    }

    private static IEnumerable<double> Ticks((double Low, double High, double Step) scale) =>
        Enumerable.Range(0, (int)Math.Round((scale.High - scale.Low) / scale.Step) + 1).Select(k => scale.Low + (k * scale.Step));

    private static string Label(double tick, double step) => Numbers.Fixed(tick, Math.Clamp((int)-Math.Floor(Math.Log10(step) + 1e-9), 0, 6));

    private static string Safe(string text) => HtmlEncoder.Default.Encode(text);
}

/// <summary>A build in a trade-off plot.</summary>
internal sealed record TradeOffPoint(int Rank, double X, double Y, bool OnFront, bool Feasible);
