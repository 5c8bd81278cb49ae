using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// The electrical side of a build: a row a way, all from the socket at the left to the receivers at the right, with a rail back to the socket. Resistors
/// are rectangles, capacitors two plates, coils half circles (IEC 60617). A receiver is drawn as what it is, a coil beside an armature in a box with a
/// spout; the dot is its marked lead. Every part has a place as wide as its label may come out, so that nothing meets.
/// </summary>
public static class NetworkSchematic
{
    private const double Gap = 12, Row = 22, Part = 40, Cell = 56, Text = SvgDrawing.TextSize, Receiver = 34, Head = 18, MostReceivers = 4, MostWords = 700;

    /// <summary>The picture.</summary>
    public static string Svg(Earpiece earpiece)
    {
        SvgDrawing drawing = Draw(earpiece);
        Box extent = drawing.Extent;
        return drawing.Svg(new(extent.X - Gap, extent.Y - Gap, extent.Width + (2 * Gap), extent.Height + (2 * Gap)));
    }

    internal static SvgDrawing Draw(Earpiece earpiece)
    {
        IReadOnlyList<NumberedPart> parts = NumberedPart.Of(earpiece);
        SvgDrawing drawing = new("schematic", "Schematic", "The network of the build from the socket to the receivers: "
            + string.Join("; ", earpiece.Ways.Select((way, at) => $"{way.Name}: " + string.Join(", ", parts.Where(part => part.Way == at && part.Section >= 0)
                .Select(part => $"{part.Designator} {part.Text} {(way.Network[part.Section].Place == SectionPlace.Series ? "in line" : "across")}")
                .Append(WayWords.Receivers(way))))) + ".");
        const double Hot = 64;
        double networkEnd = earpiece.Ways.Select((way, at) => NetworkWidth(way, at, parts)).Max() + Hot + Gap;
        double receiversEnd = earpiece.Ways.Select((way, at) => ReceiverWidth(way, at, parts)).Max() + networkEnd;

        // The rail back stands to the right of the words above each row as well.
        double back = Math.Max(receiversEnd, earpiece.Ways.Max(way => Hot + Gap + TextWidth.Of(Words(way), Text, bold: true))) + Gap;
        double top = 0, first = 0, lastHot = 0, firstReturn = 0, bottom = 0;
        for (int at = 0; at < earpiece.Ways.Count; at++)
        {
            Way way = earpiece.Ways[at];
            double hot = top + Head + (2 * SvgDrawing.LineHeight(Text)) + 10, cold = hot + Depth(way);
            drawing.Text(Hot + Gap, SvgDrawing.Baseline(top, Text), Words(way), bold: true, kindOfText: "way");
            double end = Network(drawing, way, at, parts, Hot, hot, cold);
            drawing.Wire(end, hot, networkEnd, hot);
            Receivers(drawing, way, at, parts, networkEnd, hot, cold, back);
            drawing.Wire(FirstDown(way, at, parts, Hot, networkEnd), cold, back, cold);
            (first, firstReturn) = at == 0 ? (hot, cold) : (first, firstReturn);
            if (at > 0)
            {
                Node(drawing, back, cold);
            }

            if (at < earpiece.Ways.Count - 1)
            {
                Node(drawing, Hot, hot);
            }

            (lastHot, bottom) = (hot, cold);
            top = cold + Row;
        }

        double rail = bottom + 22;
        drawing.Wire(Hot, first, Hot, lastHot);
        drawing.Wire(back, firstReturn, back, rail);
        drawing.Wire(12, rail, back, rail);
        drawing.Wire(12, first, Hot, first);
        Terminal(drawing, 8, first);
        Terminal(drawing, 8, rail);
        drawing.Text(4, first - 12, "socket +", size: Text);
        drawing.Text(4, rail + 20, "socket − (return)", size: Text);
        return drawing;
    }

    private static string Words(Way way) => TextWidth.Fit($"{way.Name}: {WayWords.Receivers(way)}", Text, MostWords, bold: true);

    /// <summary>How far down the return line of a row lies.</summary>
    private static double Depth(Way way) => Math.Max(76, way.Network.Where(section => section.Place == SectionPlace.Shunt).Select(Stack).DefaultIfEmpty(0).Max());

    private static double Stack(NetworkSection section) => (Kinds(section).Count() * (Part + 8)) + 16;

    private static IEnumerable<PartKind> Kinds(NetworkSection section)
    {
        if (section.Resistance is not null)
        {
            yield return PartKind.Resistor;
        }

        if (section.Capacitance is not null)
        {
            yield return PartKind.Capacitor;
        }

        if (section.Inductance is not null)
        {
            yield return PartKind.Coil;
        }
    }

    private static NumberedPart[] Of(IReadOnlyList<NumberedPart> parts, int way, int section) => [.. parts.Where(part => part.Way == way && part.Section == section)];

    private static double LabelWidth(NumberedPart part) => Math.Max(TextWidth.Of(part.Designator, Text, bold: true), TextWidth.Of(part.Text, Text));

    /// <summary>Room of a part in line.</summary>
    private static double InLine(NumberedPart part) => Math.Max(Cell, LabelWidth(part) + Gap);

    /// <summary>Room of a section across: half a symbol at the left, labels at the right.</summary>
    private static double Across(NumberedPart[] parts) => 16 + 14 + parts.Max(LabelWidth) + Gap;

    private static double NetworkWidth(Way way, int at, IReadOnlyList<NumberedPart> parts) => way.Network.Select((section, number) =>
        section.Place == SectionPlace.Series ? Of(parts, at, number).Sum(InLine) : Across(Of(parts, at, number))).Sum();

    private static double Network(SvgDrawing drawing, Way way, int at, IReadOnlyList<NumberedPart> parts, double x, double hot, double cold)
    {
        drawing.Wire(x, hot, x + Gap, hot);
        x += Gap;
        for (int number = 0; number < way.Network.Count; number++)
        {
            NumberedPart[] held = Of(parts, at, number);
            if (way.Network[number].Place == SectionPlace.Series)
            {
                foreach (NumberedPart part in held)
                {
                    double room = InLine(part), middle = x + (room / 2);
                    SchematicSymbols.InLine(drawing, part.Kind, middle, hot);
                    drawing.Wire(x, hot, middle - (SchematicSymbols.Length / 2), hot);
                    drawing.Wire(middle + (SchematicSymbols.Length / 2), hot, x + room, hot);
                    drawing.Text(middle, hot - 14 - SvgDrawing.LineHeight(Text), part.Designator, Anchor.Middle, bold: true, kindOfText: "designator");
                    drawing.Text(middle, hot - 14, part.Text, Anchor.Middle, kindOfText: "value");
                    x += room;
                }

                continue;
            }

            double space = Across(held), line = x + 16, from = hot;
            Node(drawing, line, hot);
            if (way.Network.Take(number).Any(section => section.Place == SectionPlace.Shunt))
            {
                Node(drawing, line, cold);
            }

            double pitch = (cold - hot) / held.Length;
            foreach (NumberedPart part in held)
            {
                double middle = from + (pitch / 2);
                SchematicSymbols.Across(drawing, part.Kind, line, middle);
                drawing.Wire(line, from, line, middle - (SchematicSymbols.Length / 2));
                drawing.Wire(line, middle + (SchematicSymbols.Length / 2), line, from + pitch);
                drawing.Text(line + 14, middle - 2, part.Designator, bold: true, kindOfText: "designator");
                drawing.Text(line + 14, middle - 2 + SvgDrawing.LineHeight(Text), part.Text, kindOfText: "value");
                from += pitch;
            }

            drawing.Wire(x, hot, x + space, hot);
            x += space;
        }

        return x;
    }

    /// <summary>Where the return line of a row begins: at its first part across, or at its first receiver.</summary>
    private static double FirstDown(Way way, int at, IReadOnlyList<NumberedPart> parts, double hotX, double networkEnd)
    {
        double x = hotX + Gap;
        for (int number = 0; number < way.Network.Count; number++)
        {
            NumberedPart[] held = Of(parts, at, number);
            if (way.Network[number].Place == SectionPlace.Shunt)
            {
                return x + 16;
            }

            x += held.Sum(InLine);
        }

        int shown = Shown(way).Length;
        return way.Wiring == Wiring.Parallel || way.Count == 1 ? networkEnd + (Pitch(way, at, parts) / 2) : networkEnd + (Pitch(way, at, parts) * (shown - 0.5));
    }

    /// <summary>The receivers that are drawn, by their number in the way; −1 for those left out between.</summary>
    private static int[] Shown(Way way) => way.Count <= MostReceivers ? [.. Enumerable.Range(0, way.Count)] : [0, 1, -1, way.Count - 1];

    private static double Pitch(Way way, int at, IReadOnlyList<NumberedPart> parts)
    {
        double label = parts.Where(part => part.Way == at && part.Kind == PartKind.Receiver).Max(part => TextWidth.Of(part.Designator, Text, bold: true));
        return Math.Max(Receiver + 12 + (2 * (label + 8)), 72);
    }

    private static double ReceiverWidth(Way way, int at, IReadOnlyList<NumberedPart> parts) => Pitch(way, at, parts) * Shown(way).Length;

    private static void Receivers(SvgDrawing drawing, Way way, int at, IReadOnlyList<NumberedPart> parts, double x, double hot, double cold, double back)
    {
        NumberedPart[] all = [.. parts.Where(part => part.Way == at && part.Kind == PartKind.Receiver)];
        int[] shown = Shown(way);
        double pitch = Pitch(way, at, parts), middleY = (hot + cold) / 2, upper = middleY - (Receiver / 2), lower = middleY + (Receiver / 2);
        bool parallel = way.Wiring == Wiring.Parallel || way.Count == 1;
        for (int i = 0; i < shown.Length; i++)
        {
            double middle = x + (pitch * (i + 0.5));
            bool last = i == shown.Length - 1;
            if (shown[i] < 0)
            {
                drawing.Text(middle, middleY + 4, "…", Anchor.Middle, 16, bold: true);
                if (!parallel)
                {
                    drawing.Wire(middle, hot, middle + (pitch / 2), hot);
                }
            }
            else
            {
                SchematicSymbols.Receiver(drawing, middle, middleY, Receiver, way.Polarity == Polarity.Normal);
                drawing.Wire(middle, hot, middle, upper);
                drawing.Text(middle + (Receiver / 2) + 10, middleY + 4, all[shown[i]].Designator, bold: true, kindOfText: "designator");
                if (parallel || last)
                {
                    drawing.Wire(middle, lower, middle, cold);
                }
                else
                {
                    double link = middle + (pitch / 2), under = cold - 12;
                    drawing.Wire(middle, lower, middle, under);
                    drawing.Wire(middle, under, link, under);
                    drawing.Wire(link, under, link, hot);
                    drawing.Wire(link, hot, middle + pitch, hot);
                }

                if (parallel && (i > 0 || way.Network.Any(section => section.Place == SectionPlace.Shunt)))
                {
                    Node(drawing, middle, cold);
                }
            }

            if (!parallel && last && way.Network.Any(section => section.Place == SectionPlace.Shunt))
            {
                Node(drawing, middle, cold);
            }

            if (parallel && !last)
            {
                drawing.Wire(middle, hot, middle + pitch, hot);
                if (shown[i] >= 0)
                {
                    Node(drawing, middle, hot);
                }
            }
        }

        drawing.Wire(x, hot, x + (pitch / 2), hot);
    }

    private static void Node(SvgDrawing drawing, double x, double y)
    {
        drawing.Circle(x, y, 2.6, filled: true, kindOfCircle: "node");
        drawing.Mark(new(x - 2.6, y - 2.6, 5.2, 5.2));
    }

    private static void Terminal(SvgDrawing drawing, double x, double y)
    {
        drawing.Circle(x, y, 4, filled: false, kindOfCircle: "terminal");
        drawing.Mark(new(x - 4, y - 4, 8, 8));
    }
}
