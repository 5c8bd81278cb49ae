using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// The acoustic side of a build to scale, a row a way: receivers with their spouts at the right, damper, tube by bore and cut length, and at the left the
/// tip where all tubes end flush. Lengths, bores and bodies are to scale; the damper's thickness, the joint of several spouts and the tip are not, and it
/// says so. Scales are those of ISO 5455; a bar gives the measure whatever size it is printed at.
/// </summary>
public static class AssemblyDrawing
{
    /// <summary>Units of the drawing in a millimetre of paper: CSS pixels.</summary>
    private const double Paper = 96 / 25.4;

    private const double Text = 10.5, Gap = 8, Tip = 14, Joint = 24, Lane = 14, BodyGap = 3, Damper = 5, MostWords = 300;

    /// <summary>Enlargements of ISO 5455 that suit, and full size.</summary>
    private static readonly int[] _scales = [10, 5, 2, 1];

    /// <summary>The picture, with its own size in millimetres, so that it prints at the scale it states.</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="bodies">The outer size of a receiver; null for one that is not stated.</param>
    /// <param name="widthMm">Most width on paper, mm.</param>
    /// <param name="heightMm">Most height on paper, mm.</param>
    public static string Svg(Earpiece earpiece, Func<Receiver, Body?> bodies, double widthMm = 180, double heightMm = 170)
    {
        (SvgDrawing drawing, Box view) = Fitting(earpiece, bodies, widthMm, heightMm);
        return drawing.Svg(view, "mm", Paper);
    }

    /// <summary>The drawing in the largest scale that fits, or the smallest there is.</summary>
    internal static (SvgDrawing Drawing, Box View) Fitting(Earpiece earpiece, Func<Receiver, Body?> bodies, double widthMm, double heightMm)
    {
        (SvgDrawing Drawing, Box View) drawn = default;
        foreach (int scale in _scales)
        {
            SvgDrawing drawing = Draw(earpiece, bodies, scale);
            Box extent = drawing.Extent;
            drawn = (drawing, new(extent.X - Gap, extent.Y - Gap, extent.Width + (2 * Gap), extent.Height + (2 * Gap)));
            if (drawn.View.Width <= widthMm * Paper && drawn.View.Height <= heightMm * Paper)
            {
                break;
            }
        }

        return drawn;
    }

    internal static SvgDrawing Draw(Earpiece earpiece, Func<Receiver, Body?> bodies, int scale)
    {
        IReadOnlyList<NumberedPart> parts = NumberedPart.Of(earpiece);
        double unit = scale * Paper * 1e3, y = 0;
        SvgDrawing drawing = new("assembly", "Assembly, acoustic side", "From the tip at the left to the receivers at the right: "
            + string.Join("; ", earpiece.Ways.Select((way, at) => $"{way.Name}: " + string.Join(", ", parts.Where(part => part.Way == at && part.Kind is PartKind.Damper or PartKind.Tubing)
                .Reverse().Select(part => $"{part.Designator} {part.Text}").Append(WayWords.Receivers(way))))) + ".");
        (double Top, double Bottom) tip = (double.NaN, 0);
        foreach ((Way way, int at) in earpiece.Ways.Select((way, at) => (way, at)))
        {
            string words = TextWidth.Fit(FormattableString.Invariant($"{way.Name}: {way.Count} × {way.Receiver.PartNumber}{(bodies(way.Receiver) is null ? ", size not stated" : "")}"), Text, MostWords, bold: true);
            drawing.Text(Tip + Gap, SvgDrawing.Baseline(y, Text), words, size: Text, bold: true, kindOfText: "way");
            Body body = bodies(way.Receiver) ?? new(6e-3, 4e-3, 3e-3);
            double high = Math.Min(body.Width, body.Height) * unit, pitch = Math.Max(high, way.Receiver.SpoutBore * unit) + BodyGap;
            double bodiesTop = y + SvgDrawing.LineHeight(Text) + 4, bore = way.Tube.Select(piece => piece.Bore).Append(way.Receiver.SpoutBore).Max() * unit;
            double stack = Math.Max(pitch * way.Count, bore + 6), axis = bodiesTop + (stack / 2);
            (double end, List<(double X, string Text)> callouts) = Duct(drawing, way, at, parts, axis, unit);
            Bodies(drawing, way, body, bodies(way.Receiver) is not null, (end, axis), pitch, unit);
            double lanesTop = bodiesTop + stack + 2;
            y = Callouts(drawing, callouts, axis, lanesTop) + 5;
            tip = (double.IsNaN(tip.Top) ? axis - (bore / 2) - 6 : tip.Top, axis + (bore / 2) + 6);
        }

        drawing.Rectangle(new(0, tip.Top, Tip, tip.Bottom - tip.Top), "tip", radius: 4);
        drawing.Mark(new(0, tip.Top, Tip, tip.Bottom - tip.Top));
        Bar(drawing, y, scale);
        return drawing;
    }

    /// <summary>Tube pieces from the tip on and the damper: the end towards the receivers, and what is to be said of each.</summary>
    private static (double End, List<(double X, string Text)> Callouts) Duct(SvgDrawing drawing, Way way, int at, IReadOnlyList<NumberedPart> parts, double axis, double unit)
    {
        List<(double X, string Text)> callouts = [];
        double x = Tip;
        foreach (NumberedPart part in parts.Where(part => part.Way == at && part.Kind == PartKind.Tubing).Reverse())
        {
            double length = part.Length * unit, bore = part.Value * unit;
            Box tube = new(x, axis - (bore / 2), length, bore);
            drawing.Rectangle(tube, "tube", 1.4);
            drawing.Mark(tube);
            callouts.Add((x + (length / 2), $"{part.Designator}  {part.Text}"));
            x += length;
        }

        if (parts.FirstOrDefault(part => part.Way == at && part.Kind == PartKind.Damper) is { } damper)
        {
            double bore = (way.Tube.Count > 0 ? way.Tube[0].Bore : way.Receiver.SpoutBore) * unit;
            Box mesh = new(x, axis - (bore / 2) - 2, Damper, bore + 4);
            drawing.Rectangle(mesh, "damper", 1.2);
            for (double line = mesh.Y + 3; line < mesh.Bottom; line += 3)
            {
                drawing.Line(mesh.X, line, mesh.Right, line - 3, "mesh", width: 0.8);
            }

            drawing.Mark(mesh);
            callouts.Add((x + (Damper / 2), $"{damper.Designator}  {damper.Text}"));
            x += Damper;
        }

        return (x, callouts);
    }

    private static void Bodies(SvgDrawing drawing, Way way, Body body, bool stated, (double X, double Y) mouth, double pitch, double unit)
    {
        double spout = way.Receiver.SpoutLength * unit, bore = way.Receiver.SpoutBore * unit, high = Math.Min(body.Width, body.Height) * unit;
        double joint = way.Count > 1 ? Joint : 0;
        for (int i = 0; i < way.Count; i++)
        {
            double axis = mouth.Y + (pitch * (i - ((way.Count - 1) / 2.0)));
            if (joint > 0)
            {
                drawing.Line(mouth.X, mouth.Y, mouth.X + joint, axis, "joint", dash: "3 2");
                drawing.Mark(Box.Around(mouth.X, mouth.Y, mouth.X + joint, axis));
            }

            Box nozzle = new(mouth.X + joint, axis - (bore / 2), spout, bore), box = new(nozzle.Right, axis - (high / 2), body.Length * unit, high);
            drawing.Rectangle(nozzle, "spout", 1.2);
            drawing.Rectangle(box, "body", 1.4, stated ? null : "4 3", 3);
            drawing.Mark(nozzle);
            drawing.Mark(box);
        }
    }

    private static double Callouts(SvgDrawing drawing, List<(double X, string Text)> callouts, double axis, double top)
    {
        int[] lanes = CalloutLanes.Of([.. callouts.Select(callout => (callout.X, TextWidth.Of(callout.Text, Text) + 5))], Gap);
        for (int i = 0; i < lanes.Length; i++)
        {
            double lane = top + (lanes[i] * Lane);
            drawing.Line(callouts[i].X, axis, callouts[i].X, lane + Lane - 3, "leader", width: 0.8, opacity: 0.7);
            drawing.Circle(callouts[i].X, axis, 1.8, filled: true, kindOfCircle: "leader");
            drawing.Text(callouts[i].X + 4, SvgDrawing.Baseline(lane, Text), callouts[i].Text, size: Text, kindOfText: "value");
            drawing.Mark(new(callouts[i].X, axis, 0, lane + Lane - 3 - axis));
        }

        return lanes.Length == 0 ? top : top + ((lanes.Max() + 1) * Lane);
    }

    private static void Bar(SvgDrawing drawing, double top, int scale)
    {
        double y = top + 14;
        int whole = scale == 10 ? 5 : 10;
        double length = whole * scale * Paper;
        drawing.Line(Tip, y, Tip + length, y, "bar", width: 1.6);
        for (int mm = 0; mm <= whole; mm++)
        {
            double x = Tip + (mm * scale * Paper);
            drawing.Line(x, y - (mm % 5 == 0 ? 6 : 3), x, y, "bar");
        }

        drawing.Mark(new(Tip, y - 6, length, 6));
        drawing.Text(Tip + length + 8, y + 2, FormattableString.Invariant($"{whole} mm"), size: Text, kindOfText: "note");
        string[] notes = [FormattableString.Invariant($"Scale {scale}:1 where the bar measures {whole * scale} mm."), "Left: the tip, all tubes flush.", "Not to scale: dampers, joints (dashed), tip."];
        for (int line = 0; line < notes.Length; line++)
        {
            drawing.Text(0, y + 16 + (line * 13), notes[line], size: Text, kindOfText: "note");
        }
    }
}
