using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>A part of one earpiece with the designator it bears on every paper.</summary>
/// <param name="Designator">Such as R1.</param>
/// <param name="Kind">What it is.</param>
/// <param name="Way">Index of its way.</param>
/// <param name="Section">Index of its network section; −1 for a part of none.</param>
/// <param name="Value">Its value, SI; the bore of tubing; 0 for a receiver.</param>
/// <param name="Length">Cut length of tubing, m; 0 for anything else.</param>
/// <param name="Loss">ESR of a capacitor, DCR of a coil, Ω; 0 for anything else.</param>
public sealed record NumberedPart(string Designator, PartKind Kind, int Way, int Section, double Value, double Length = 0, double Loss = 0)
{
    /// <summary>Its value with unit; empty for a receiver.</summary>
    public string Text => Kind == PartKind.Tubing
        ? FormattableString.Invariant($"{Units.ToMm(Length):0.##} mm of {Units.ToMm(Value):0.##} mm bore")
        : PartName.Value(Kind, Value);

    /// <summary>
    /// All parts, way by way and from the socket towards the ear: network parts R, C, L as in the netlist; receivers P (IEC 81346-2 puts loudspeakers
    /// there; from memory), dampers D and tubes T, which are letters of our own.
    /// </summary>
    public static IReadOnlyList<NumberedPart> Of(Earpiece earpiece)
    {
        Designators designators = new();
        List<NumberedPart> parts = [];
        foreach ((Way way, int at) in earpiece.Ways.Select((way, at) => (way, at)))
        {
            foreach ((NetworkSection section, int number) in way.Network.Select((section, number) => (section, number)))
            {
                Add('R', PartKind.Resistor, section.Resistance, 0);
                Add('C', PartKind.Capacitor, section.Capacitance, section.CapacitorEsr);
                Add('L', PartKind.Coil, section.Inductance, section.CoilDcr);

                void Add(char letter, PartKind kind, double? value, double loss)
                {
                    if (value is { } set)
                    {
                        parts.Add(new(designators.Next(letter), kind, at, number, set, Loss: loss));
                    }
                }
            }

            parts.AddRange(Enumerable.Range(0, way.Count).Select(_ => new NumberedPart(designators.Next('P'), PartKind.Receiver, at, -1, 0)));
            if (way.DamperResistance > 0)
            {
                parts.Add(new(designators.Next('D'), PartKind.Damper, at, -1, way.DamperResistance));
            }

            parts.AddRange(way.Tube.Where(piece => piece.Length > 0).Select(piece => new NumberedPart(designators.Next('T'), PartKind.Tubing, at, -1, piece.Bore, piece.Length)));
        }

        return parts;
    }
}
