using System.Globalization;
using System.Text;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// An SVG picture that is written stroke by stroke. It holds presentation attributes and classes only: no script, no style attribute, no address, no
/// identifier, so that it may stand in a page with a strict content policy, more than once. What is not coloured takes the colour of the text around it.
/// Labels and the space of symbols are noted, so that a layout can be checked.
/// </summary>
/// <param name="kind">Its class beside <c>drawing</c>.</param>
/// <param name="title">What is read out for it.</param>
/// <param name="description">What it shows, in a sentence.</param>
internal sealed class SvgDrawing(string kind, string title, string description)
{
    /// <summary>Size of ordinary text.</summary>
    public const double TextSize = 12;

    /// <summary>From the baseline up, of the text size: more than letters of the fonts in use reach.</summary>
    private const double Ascent = 0.93;

    /// <summary>From the baseline down.</summary>
    private const double Descent = 0.25;

    private readonly StringBuilder _body = new();
    private readonly List<(string Text, Box Box)> _labels = [];
    private readonly List<Box> _symbols = [];

    /// <summary>Every text with the most room it may take.</summary>
    public IReadOnlyList<(string Text, Box Box)> Labels => _labels;

    /// <summary>The room of every symbol and wire that was marked as such.</summary>
    public IReadOnlyList<Box> Symbols => _symbols;

    /// <summary>The least box around all labels and symbols.</summary>
    public Box Extent => _labels.Select(label => label.Box).Concat(_symbols).Aggregate((a, b) =>
        Box.Around(Math.Min(a.X, b.X), Math.Min(a.Y, b.Y), Math.Max(a.Right, b.Right), Math.Max(a.Bottom, b.Bottom)));

    /// <summary>The line distance of a text size.</summary>
    public static double LineHeight(double size) => size * (Ascent + Descent);

    /// <summary>Where the baseline is when a line of text begins at a height.</summary>
    public static double Baseline(double top, double size) => top + (size * Ascent);

    /// <summary>The room a text takes.</summary>
    public static Box TextBox(double x, double y, string text, Anchor anchor, double size, bool bold)
    {
        double width = TextWidth.Of(text, size, bold);
        return new(x - (width * (int)anchor / 2), y - (Ascent * size), width, LineHeight(size));
    }

    /// <summary>Text on a baseline.</summary>
    public void Text(double x, double y, string text, Anchor anchor = Anchor.Start, double size = TextSize, bool bold = false, string? kindOfText = null)
    {
        _labels.Add((text, TextBox(x, y, text, anchor, size, bold)));
        _body.Append(CultureInfo.InvariantCulture, $"<text x=\"{x:0.##}\" y=\"{y:0.##}\" fill=\"currentColor\"");
        Attribute("class", kindOfText);
        Attribute("font-size", size == TextSize ? null : Number(size));
        Attribute("font-weight", bold ? "bold" : null);
        Attribute("text-anchor", anchor switch { Anchor.Middle => "middle", Anchor.End => "end", _ => null });
        _body.Append('>').Append(Xml.Escape(text)).Append("</text>\n");
    }

    /// <summary>A straight line.</summary>
    public void Line(double x1, double y1, double x2, double y2, string? kindOfLine = null, string colour = Palette.Ink, double width = 1, string? dash = null, double opacity = 1)
    {
        _body.Append(CultureInfo.InvariantCulture, $"<line x1=\"{x1:0.##}\" y1=\"{y1:0.##}\" x2=\"{x2:0.##}\" y2=\"{y2:0.##}\"");
        Stroke(kindOfLine, colour, width, dash, opacity);
    }

    /// <summary>A wire: a line that no label may cross.</summary>
    public void Wire(double x1, double y1, double x2, double y2)
    {
        Line(x1, y1, x2, y2, "wire", width: 1.2);
        Mark(Box.Around(x1, y1, x2, y2));
    }

    /// <summary>A path of stroked lines.</summary>
    public void Path(string d, string? kindOfLine = null, string colour = Palette.Ink, double width = 1, string? dash = null, double opacity = 1)
    {
        _body.Append("<path d=\"").Append(d).Append("\" stroke-linejoin=\"round\"");
        Stroke(kindOfLine, colour, width, dash, opacity);
    }

    /// <summary>A filled shape without outline.</summary>
    public void Area(string d, string? kindOfArea, string colour, double opacity)
    {
        _body.Append("<path d=\"").Append(d).Append('"');
        Attribute("class", kindOfArea);
        Attribute("fill", colour);
        Attribute("fill-opacity", Number(opacity));
        _body.Append("/>\n");
    }

    /// <summary>An outlined rectangle.</summary>
    public void Rectangle(Box box, string? kindOfLine = null, double width = 1.2, string? dash = null, double radius = 0)
    {
        _body.Append(CultureInfo.InvariantCulture, $"<rect x=\"{box.X:0.##}\" y=\"{box.Y:0.##}\" width=\"{box.Width:0.##}\" height=\"{box.Height:0.##}\"");
        Attribute("rx", radius > 0 ? Number(radius) : null);
        Stroke(kindOfLine, Palette.Ink, width, dash, 1);
    }

    /// <summary>A circle, filled or outlined.</summary>
    public void Circle(double x, double y, double radius, bool filled, string colour = Palette.Ink, string? kindOfCircle = null)
    {
        _body.Append(CultureInfo.InvariantCulture, $"<circle cx=\"{x:0.##}\" cy=\"{y:0.##}\" r=\"{radius:0.##}\"");
        if (filled)
        {
            Attribute("class", kindOfCircle);
            Attribute("fill", colour);
            _body.Append("/>\n");
        }
        else
        {
            Stroke(kindOfCircle, colour, 1.2, null, 1);
        }
    }

    /// <summary>Notes the room of a symbol.</summary>
    public void Mark(Box symbol) => _symbols.Add(symbol);

    /// <summary>The whole picture.</summary>
    /// <param name="view">What of the paper is shown.</param>
    /// <param name="unit">The unit of its own width and height: none for pixels, or <c>mm</c>.</param>
    /// <param name="perUnit">Units of the drawing in one of those.</param>
    public string Svg(Box view, string unit = "", double perUnit = 1) => string.Create(
        CultureInfo.InvariantCulture,
        $"<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"drawing {kind}\" viewBox=\"{view.X:0.##} {view.Y:0.##} {view.Width:0.##} {view.Height:0.##}\" width=\"{view.Width / perUnit:0.##}{unit}\" height=\"{view.Height / perUnit:0.##}{unit}\" role=\"img\" font-family=\"Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif\" font-size=\"{TextSize:0}\" fill=\"none\">\n<title>{Xml.Escape(title)}</title>\n<desc>{Xml.Escape(description)}</desc>\n{_body}</svg>\n");

    /// <summary>A number as paths bear it.</summary>
    public static string Number(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);

    private void Stroke(string? kindOfLine, string colour, double width, string? dash, double opacity)
    {
        Attribute("class", kindOfLine);
        Attribute("stroke", colour);
        Attribute("stroke-width", Number(width));
        Attribute("stroke-dasharray", dash);
        Attribute("stroke-opacity", opacity < 1 ? Number(opacity) : null);
        _body.Append("/>\n");
    }

    private void Attribute(string name, string? value)
    {
        if (value is not null)
        {
            _body.Append(' ').Append(name).Append("=\"").Append(value).Append('"');
        }
    }
}
