using XoverOpt.Acoustics;

namespace XoverOpt.Worker.Text;

/// <summary>One way of an earpiece in words.</summary>
internal static class WayText
{
    private const double PascalSecondPerCgsOhm = 1e5;

    /// <summary>Its receivers only, such as "low 2×OS-L2 ∥" (∥ in parallel, + in series, ⟲ leads turned over).</summary>
    public static string Short(Way way) =>
        $"{way.Name} {Count(way)}{way.Receiver.PartNumber}{Joint(way)}{(way.Polarity == Polarity.Inverted ? " ⟲" : "")}";

    /// <summary>Everything that is needed to build it, a line each.</summary>
    public static IEnumerable<string> Full(Way way)
    {
        string wiring = way.Count == 1 ? "" : way.Wiring == Wiring.Parallel ? " in parallel" : " in series";
        yield return $"{way.Name}: {Count(way)}{way.Receiver.PartNumber}{wiring}, {(way.Polarity == Polarity.Normal ? "leads as marked" : "leads turned over")}";
        yield return "  network from the socket: " + (way.Network.Count == 0 ? "straight wire" : string.Join("; ", way.Network.Select(Section)));
        yield return "  damper: " + (way.DamperResistance == 0 ? "none" : $"{Numbers.Part(way.DamperResistance / PascalSecondPerCgsOhm)} cgs Ω");
        yield return "  tube from the receiver: " + (way.Tube.Count == 0
            ? "none"
            : string.Join(", then ", way.Tube.Select(piece => $"{Numbers.Part(piece.Length * 1e3)} mm of {Numbers.Part(piece.Bore * 1e3)} mm bore")));
    }

    private static string Count(Way way) => way.Count == 1 ? "" : Numbers.Invariant($"{way.Count}×");

    private static string Joint(Way way) => way.Count == 1 ? "" : way.Wiring == Wiring.Parallel ? " ∥" : " +";

    private static string Section(NetworkSection section)
    {
        string?[] parts =
        [
            section.Resistance is { } ohm ? $"resistor {Numbers.Part(ohm)} Ω" : null,
            section.Capacitance is { } farad ? $"capacitor {Numbers.Part(farad * 1e6)} µF" + Loss("ESR", section.CapacitorEsr) : null,
            section.Inductance is { } henry ? $"coil {Numbers.Part(henry * 1e3)} mH" + Loss("DCR", section.CoilDcr) : null,
        ];
        return (section.Place == SectionPlace.Series ? "in line " : "across ") + string.Join(" with ", parts.Where(part => part is not null));
    }

    private static string Loss(string name, double ohm) => ohm == 0 ? "" : $" ({name} {Numbers.Part(ohm)} Ω)";
}
