using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// One way in which the parts of a unit may differ from their labels: a quantity of <see cref="PartSpread"/> by one standard deviation. The n
/// receivers of a way deviate together, by 1/√n, since from outside hardly more than their mean is seen. One deviation upon another is their sum.
/// </summary>
/// <param name="Part">The quantity.</param>
/// <param name="Alike">How many pieces deviate together.</param>
public sealed record PartDeviation(SpreadPart Part, int Alike)
{
    /// <summary>Where a drawer states no spread of a receiver (assumed; no source).</summary>
    public static readonly Spread UsualSpread = new(1, 4, 5);

    // Where the drawer states no tolerance (assumed; no source).
    private const double UsualResistor = 0.01, UsualOther = 0.1, UsualDamper = 0.15;

    /// <summary>Every deviation of a build.</summary>
    public static IReadOnlyList<PartDeviation> Of(Earpiece build, Problem problem) =>
        [.. PartsOf(build, problem).GroupBy(part => part.IsDeviation ? (part.Way, part.Kind, 0) : (part.Way, part.Kind, part.Index))
            .Select(alike => new PartDeviation(alike.First(), alike.Count()))];

    /// <summary>What varies, also where the drawer says nothing of it.</summary>
    public static IReadOnlyList<SpreadPart> PartsOf(Earpiece build, Problem problem)
    {
        List<SpreadPart> parts = [.. new PartSpread(build, problem, new()).Parts];
        for (int i = 0; i < build.Ways.Count; i++)
        {
            Way way = build.Ways[i];
            for (int r = 0; r < way.Count; r++)
            {
                Assume(i, r, SpreadKind.Sensitivity, UsualSpread.SensitivityDb);
                Assume(i, r, SpreadKind.Resonance, UsualSpread.ResonancePercent / 100);
                Assume(i, r, SpreadKind.DcResistance, UsualSpread.DcResistancePercent / 100);
            }

            for (int k = 0; k < way.Network.Count; k++)
            {
                Assume(i, k, SpreadKind.Resistor, way.Network[k].Resistance is null ? 0 : UsualResistor);
                Assume(i, k, SpreadKind.Capacitor, way.Network[k].Capacitance is null ? 0 : UsualOther);
                Assume(i, k, SpreadKind.Coil, way.Network[k].Inductance is null ? 0 : UsualOther);
            }

            Assume(i, 0, SpreadKind.Damper, way.DamperResistance > 0 ? UsualDamper : 0);
        }

        return parts;

        void Assume(int way, int index, SpreadKind kind, double extent)
        {
            if (extent > 0 && !parts.Exists(part => part.Way == way && part.Index == index && part.Kind == kind))
            {
                parts.Add(new($"{build.Ways[way].Name} {kind} {index + 1}", kind, way, index, extent, kind <= SpreadKind.DcResistance ? SpreadShape.Normal : SpreadShape.Uniform));
            }
        }
    }

    /// <summary>The unit with the quantity so many standard deviations further off.</summary>
    public BuiltUnit Apply(BuiltUnit unit, double z)
    {
        double by = z * Part.Extent * (Part.IsDeviation ? 1 / Math.Sqrt(Alike) : 1 / Math.Sqrt(3));
        return Enumerable.Range(0, Part.IsDeviation ? Alike : 1).Aggregate(unit, (changed, piece) => Off(changed, Part.IsDeviation ? Part with { Index = piece } : Part, by));
    }

    /// <summary>The unit with a quantity further off: by dB, by metres, or by a natural logarithm for the rest.</summary>
    public static BuiltUnit Off(BuiltUnit unit, SpreadPart part, double by)
    {
        int at = part.Index;
        double factor = Math.Exp(by);
        return unit.With(part.Way, built => part.Kind switch
        {
            SpreadKind.Sensitivity => Piece(built, piece => piece with { SensitivityDb = piece.SensitivityDb + by }),
            SpreadKind.Resonance => Piece(built, piece => piece with { Resonance = piece.Resonance + by }),
            SpreadKind.DcResistance => Piece(built, piece => piece with { Resistance = piece.Resistance + by }),
            SpreadKind.Resistor => Section(built, section => section with { Resistance = section.Resistance * factor }),
            SpreadKind.Capacitor => Section(built, section => section with { Capacitance = section.Capacitance * factor }),
            SpreadKind.Coil => Section(built, section => section with { Inductance = section.Inductance * factor }),
            SpreadKind.Damper => built with { Way = built.Way with { DamperResistance = built.Way.DamperResistance * factor } },
            _ => built with { Way = built.Way with { Tube = Put(built.Way.Tube, tube => tube with { Length = Math.Max(1e-4, tube.Length + by) }) } },
        });

        BuiltWay Piece(BuiltWay built, Func<PieceDeviation, PieceDeviation> change) => built with { Pieces = Put(built.Pieces, change) };
        BuiltWay Section(BuiltWay built, Func<NetworkSection, NetworkSection> change) => built with { Way = built.Way with { Network = Put(built.Way.Network, change) } };
        T[] Put<T>(IReadOnlyList<T> list, Func<T, T> change) => [.. list.Select((item, k) => k == at ? change(item) : item)];
    }
}
