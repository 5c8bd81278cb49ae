using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// One way in which the parts of a unit may differ from their labels: a quantity of <see cref="PartSpread"/> by one standard deviation. The n
/// receivers of a way deviate together, by 1/√n, since from outside hardly more than their mean is seen.
/// </summary>
/// <param name="Part">The quantity.</param>
/// <param name="Alike">How many pieces deviate together.</param>
public sealed record PartDeviation(SpreadPart Part, int Alike)
{
    private readonly double _unit = Part.StandardDeviation / Math.Sqrt(Alike);

    /// <summary>Every deviation of a build.</summary>
    public static IReadOnlyList<PartDeviation> Of(PartSpread spread) =>
        [.. spread.Parts.GroupBy(part => part.IsDeviation ? (part.Way, part.Kind, 0) : (part.Way, part.Kind, part.Index))
            .Select(alike => new PartDeviation(alike.First(), alike.Count()))];

    /// <summary>A unit, so many standard deviations off, brought to more of them.</summary>
    /// <param name="unit">The unit.</param>
    /// <param name="to">Standard deviations it is to be off.</param>
    /// <param name="from">Standard deviations it is off.</param>
    public BuiltUnit Apply(BuiltUnit unit, double to, double from = 0) => Enumerable.Range(Part.Index, Alike)
        .Aggregate(unit, (changed, piece) => Off(changed, Part with { Index = piece }, to * _unit, from * _unit));

    /// <summary>A unit of which one quantity deviates, brought from one deviation, in the unit of the quantity, to another.</summary>
    public static BuiltUnit Off(BuiltUnit unit, SpreadPart part, double to, double from = 0)
    {
        int at = part.Index;
        // A fault may have put a part of another kind in its place: that one does not deviate.
        double? Value(double? value) => part.Kind == SpreadKind.TubeLength ? part.Varied(value!.Value, to - from) : value * (part.Varied(1, to) / part.Varied(1, from));
        return unit.With(part.Way, built => part.Kind switch
        {
            SpreadKind.Sensitivity => Piece(built, piece => piece with { SensitivityDb = piece.SensitivityDb + to - from }),
            SpreadKind.Resonance => Piece(built, piece => piece with { Resonance = Value(piece.Resonance)!.Value }),
            SpreadKind.DcResistance => Piece(built, piece => piece with { Resistance = Value(piece.Resistance)!.Value }),
            SpreadKind.Resistor => Section(built, section => section with { Resistance = Value(section.Resistance) }),
            SpreadKind.Capacitor => Section(built, section => section with { Capacitance = Value(section.Capacitance) }),
            SpreadKind.Coil => Section(built, section => section with { Inductance = Value(section.Inductance) }),
            SpreadKind.Damper => built with { Way = built.Way with { DamperResistance = Value(built.Way.DamperResistance)!.Value } },
            _ => built with { Way = built.Way with { Tube = Put(built.Way.Tube, tube => tube with { Length = Value(tube.Length)!.Value }) } },
        });

        BuiltWay Piece(BuiltWay built, Func<PieceDeviation, PieceDeviation> change) => built with { Pieces = Put(built.Pieces, change) };
        BuiltWay Section(BuiltWay built, Func<NetworkSection, NetworkSection> change) => built with { Way = built.Way with { Network = Put(built.Way.Network, change) } };
        T[] Put<T>(IReadOnlyList<T> list, Func<T, T> change) => [.. list.Select((item, k) => k == at ? change(item) : item)];
    }
}
