using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>What one way may be made of.</summary>
public sealed record WayChoice
{
    /// <summary>The way's name, such as "low".</summary>
    public required string Name { get; init; }

    /// <summary>Receivers to choose from.</summary>
    public required IReadOnlyList<StockReceiver> Receivers { get; init; }

    /// <summary>How many alike, each ≥ 1.</summary>
    public required IReadOnlyList<int> Counts { get; init; }

    /// <summary>Wirings to choose from; of no matter for a count of one.</summary>
    public required IReadOnlyList<Wiring> Wirings { get; init; }

    /// <summary>Polarities to choose from.</summary>
    public required IReadOnlyList<Polarity> Polarities { get; init; }

    /// <summary>Network shapes to choose from; an empty shape is a straight wire.</summary>
    public required IReadOnlyList<NetworkShape> Networks { get; init; }

    /// <summary>Tubings to choose from; Value is the bore, m; priced by the metre.</summary>
    public required IReadOnlyList<StockValue> Bores { get; init; }

    /// <summary>Shortest tube, m; on the cutting step.</summary>
    public required double TubeMin { get; init; }

    /// <summary>Longest tube, m; on the cutting step.</summary>
    public required double TubeMax { get; init; }

    /// <summary>Dampers to choose from, rising; Value in Pa·s/m³, 0 for none.</summary>
    public required IReadOnlyList<StockValue> Dampers { get; init; }

    /// <summary>
    /// The way as it stands in the build that a variant starts from: nothing of it may change. Every list of choices holds this one only, and
    /// its network parts stand here. Null for a way that is free.
    /// </summary>
    public KeptWay? Kept { get; init; }
}

/// <summary>A way that stays as it is in another build.</summary>
/// <param name="Way">The way.</param>
/// <param name="Parts">Its network parts with what the drawer says of them, in the order in which <see cref="Candidate.ParametersOf"/> names them.</param>
public sealed record KeptWay(Way Way, IReadOnlyList<StockValue> Parts);

/// <summary>One section of a network shape: where it stands and which parts it holds in series.</summary>
public sealed record SectionShape(SectionPlace Place, bool Resistor, bool Capacitor, bool Coil);

/// <summary>A ladder without values, from the socket towards the receiver.</summary>
public sealed record NetworkShape(IReadOnlyList<SectionShape> Sections)
{
    /// <summary>The shape as a job writes it, such as "series-resistor, shunt-capacitor"; "wire" when empty.</summary>
    public override string ToString() => Sections.Count == 0
        ? "wire"
        : string.Join(", ", Sections.Select(section => string.Join(
            '-',
            new[] { section.Place == SectionPlace.Series ? "series" : "shunt" }
                .Concat(section.Resistor ? ["resistor"] : Array.Empty<string>())
                .Concat(section.Capacitor ? ["capacitor"] : Array.Empty<string>())
                .Concat(section.Coil ? ["coil"] : Array.Empty<string>()))));
}
