using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>Symbols of network parts after IEC 60617, drawn from their descriptions, and one of our own for a receiver.</summary>
internal static class SchematicSymbols
{
    /// <summary>Length of a symbol along its lead.</summary>
    public const double Length = 32;

    private const double Half = Length / 2, Thick = 6, Plate = 10, PlateGap = 3;

    /// <summary>A part in a line that goes right.</summary>
    public static void InLine(SvgDrawing drawing, PartKind kind, double x, double y)
    {
        switch (kind)
        {
            case PartKind.Resistor:
                drawing.Rectangle(new(x - Half, y - Thick, Length, 2 * Thick), "resistor");
                break;
            case PartKind.Capacitor:
                drawing.Path(Path($"M{x - Half} {y}H{x - PlateGap}M{x - PlateGap} {y - Plate}V{y + Plate}M{x + PlateGap} {y - Plate}V{y + Plate}M{x + PlateGap} {y}H{x + Half}"), "capacitor", width: 1.6);
                break;
            default:
                drawing.Path(Path($"M{x - Half} {y}a4 4.6 0 0 1 8 0a4 4.6 0 0 1 8 0a4 4.6 0 0 1 8 0a4 4.6 0 0 1 8 0"), "coil", width: 1.4);
                break;
        }

        drawing.Mark(new(x - Half, y - Plate, Length, 2 * Plate));
    }

    /// <summary>A part in a line that goes down.</summary>
    public static void Across(SvgDrawing drawing, PartKind kind, double x, double y)
    {
        switch (kind)
        {
            case PartKind.Resistor:
                drawing.Rectangle(new(x - Thick, y - Half, 2 * Thick, Length), "resistor");
                break;
            case PartKind.Capacitor:
                drawing.Path(Path($"M{x} {y - Half}V{y - PlateGap}M{x - Plate} {y - PlateGap}H{x + Plate}M{x - Plate} {y + PlateGap}H{x + Plate}M{x} {y + PlateGap}V{y + Half}"), "capacitor", width: 1.6);
                break;
            default:
                drawing.Path(Path($"M{x} {y - Half}a4.6 4 0 0 1 0 8a4.6 4 0 0 1 0 8a4.6 4 0 0 1 0 8a4.6 4 0 0 1 0 8"), "coil", width: 1.4);
                break;
        }

        drawing.Mark(new(x - Plate, y - Half, 2 * Plate, Length));
    }

    /// <summary>A receiver between a line above and one below: case, coil, armature, spout; the dot is at its marked lead.</summary>
    /// <param name="drawing">Where to.</param>
    /// <param name="x">Its middle.</param>
    /// <param name="y">Its middle.</param>
    /// <param name="size">Height and width of the case.</param>
    /// <param name="markedAbove">Whether the marked lead goes up.</param>
    public static void Receiver(SvgDrawing drawing, double x, double y, double size, bool markedAbove)
    {
        double half = size / 2, turn = size / 6;
        drawing.Rectangle(new(x - half, y - half, size, size), "receiver", radius: 3);
        drawing.Path(Path($"M{x} {y - half}V{y - (2 * turn)}a{turn - 1} {turn * 2 / 3} 0 0 1 0 {turn * 4 / 3}a{turn - 1} {turn * 2 / 3} 0 0 1 0 {turn * 4 / 3}a{turn - 1} {turn * 2 / 3} 0 0 1 0 {turn * 4 / 3}V{y + half}"), "coil", width: 1.3);
        drawing.Line(x + turn + 3, y - (2 * turn), x + turn + 3, y + (2 * turn), "armature", width: 2);
        drawing.Path(Path($"M{x + half} {y - 4}h6v8h-6"), "spout", width: 1.2);
        drawing.Circle(x - 6, markedAbove ? y - half + 6 : y + half - 6, 2.4, filled: true, kindOfCircle: "mark");
        drawing.Mark(new(x - half, y - half, size + 6, size));
    }

    private static string Path(FormattableString d) => FormattableString.Invariant(d);
}
