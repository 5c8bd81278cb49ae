using System.Globalization;
using System.Xml.Linq;
using XoverOpt.Workshop.Paperwork;

namespace XoverOpt.Workshop.Tests;

/// <summary>A picture read back from its SVG: what a viewer sees, not what the drawing code noted.</summary>
internal sealed class DrawnPicture
{
    public DrawnPicture(string svg)
    {
        Root = XDocument.Parse(svg).Root!;
        double[] view = [.. Root.Attribute("viewBox")!.Value.Split(' ').Select(Number)];
        View = new(view[0], view[1], view[2], view[3]);
        Labels = [.. Elements("text").Select(text => (text.Value, SvgDrawing.TextBox(
            Number(text.Attribute("x")!.Value),
            Number(text.Attribute("y")!.Value),
            text.Value,
            (string?)text.Attribute("text-anchor") switch { "middle" => Anchor.Middle, "end" => Anchor.End, _ => Anchor.Start },
            text.Attribute("font-size") is { } size ? Number(size.Value) : SvgDrawing.TextSize,
            (string?)text.Attribute("font-weight") == "bold")))];
        Lines = [.. Elements("line").Select(line => Box.Around(Of(line, "x1"), Of(line, "y1"), Of(line, "x2"), Of(line, "y2")))];
        Rectangles = [.. Elements("rect").Select(box => new Box(Of(box, "x"), Of(box, "y"), Of(box, "width"), Of(box, "height")))];
    }

    public XElement Root { get; }

    public Box View { get; }

    public IReadOnlyList<(string Text, Box Box)> Labels { get; }

    public IReadOnlyList<Box> Lines { get; }

    public IReadOnlyList<Box> Rectangles { get; }

    public IEnumerable<XElement> Elements(string name) => Root.Descendants().Where(element => element.Name.LocalName == name);

    /// <summary>What meets that must not: labels one another, labels and these rooms, and whatever leaves the picture.</summary>
    public IEnumerable<string> Faults(IReadOnlyList<Box> symbols)
    {
        // Coordinates are written to a hundredth.
        static Box Shrunk(Box box) => new(box.X + 0.02, box.Y + 0.02, Math.Max(box.Width - 0.04, 0), Math.Max(box.Height - 0.04, 0));
        for (int i = 0; i < Labels.Count; i++)
        {
            (string text, Box box) = (Labels[i].Text, Shrunk(Labels[i].Box));
            foreach ((string other, Box otherBox) in Labels.Skip(i + 1).Where(other => other.Box.Overlaps(box)))
            {
                yield return $"'{text}' {box} meets '{other}' {otherBox}";
            }

            foreach (Box symbol in symbols.Where(symbol => symbol.Overlaps(box)))
            {
                yield return $"'{text}' {box} crosses {symbol}";
            }

            if (!View.Holds(box))
            {
                yield return $"'{text}' {box} leaves {View}";
            }
        }

        foreach (Box symbol in symbols.Concat(Rectangles).Concat(Lines).Where(symbol => !View.Holds(Shrunk(symbol))))
        {
            yield return $"{symbol} leaves {View}";
        }
    }

    private static double Of(XElement element, string name) => Number(element.Attribute(name)!.Value);

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
