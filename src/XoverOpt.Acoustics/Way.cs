namespace XoverOpt.Acoustics;

/// <summary>How several alike receivers of a way are wired.</summary>
public enum Wiring
{
    /// <summary>All on the same two leads.</summary>
    Parallel,

    /// <summary>One after another.</summary>
    Series,
}

/// <summary>Which way round a way's pair of leads is soldered.</summary>
public enum Polarity
{
    /// <summary>As marked.</summary>
    Normal,

    /// <summary>Turned over.</summary>
    Inverted,
}

/// <summary>
/// One way of an earpiece, from the socket to the junction at the tip: network, <paramref name="Count"/> alike receivers with
/// their spouts joined, damper at the spout's mouth, then the sound tube.
/// </summary>
/// <param name="Name">The way's name, such as "low".</param>
/// <param name="Receiver">The receiver.</param>
/// <param name="Count">How many alike, ≥ 1.</param>
/// <param name="Wiring">How they are wired.</param>
/// <param name="Polarity">Which way round the leads are.</param>
/// <param name="Network">Ladder sections from the socket towards the receiver.</param>
/// <param name="DamperResistance">Damper, Pa·s/m³ (1 cgs acoustic ohm = 1e5); 0 for none.</param>
/// <param name="Tube">Tube pieces from the damper to the junction.</param>
public sealed record Way(
    string Name,
    Receiver Receiver,
    int Count,
    Wiring Wiring,
    Polarity Polarity,
    IReadOnlyList<NetworkSection> Network,
    double DamperResistance,
    IReadOnlyList<TubeSegment> Tube);
