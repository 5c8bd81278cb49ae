using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>One soldered and glued unit, with the faults a <see cref="Earpiece"/> cannot hold.</summary>
/// <param name="Ways">Its ways.</param>
/// <param name="LeakBore">Bore of a leak from the junction to the room, m; 0 for none.</param>
public sealed record BuiltUnit(IReadOnlyList<BuiltWay> Ways, double LeakBore = 0)
{
    /// <summary>How long a leak is taken to be, m: about the wall of a tip.</summary>
    public const double LeakLength = 3e-3;

    /// <summary>A unit without fault.</summary>
    public static BuiltUnit Of(Earpiece build) => new([.. build.Ways.Select(BuiltWay.Of)]);

    /// <summary>The same unit with one way changed.</summary>
    public BuiltUnit With(int way, Func<BuiltWay, BuiltWay> change) =>
        this with { Ways = [.. Ways.Select((other, i) => i == way ? change(other) : other)] };
}

/// <summary>A way of a built unit.</summary>
/// <param name="Way">Network, damper, tube, wiring and polarity; its receiver is the part as the drawer has it.</param>
/// <param name="Pieces">How each of its receivers differs from the part; spouts joined.</param>
/// <param name="Coils">How each one's coil is.</param>
/// <param name="BlockedBore">Bore left by what blocks the tube at the junction, m; 0 for a free tube.</param>
public sealed record BuiltWay(Way Way, IReadOnlyList<PieceDeviation> Pieces, IReadOnlyList<CoilState> Coils, double BlockedBore = 0)
{
    /// <summary>How long a blockage is taken to be, m.</summary>
    public const double BlockedLength = 1e-3;

    /// <summary>A way without fault.</summary>
    public static BuiltWay Of(Way way) => new(way, [.. Enumerable.Repeat(PieceDeviation.None, way.Count)], [.. Enumerable.Repeat(CoilState.Working, way.Count)]);

    /// <summary>The same way with every coil in one state.</summary>
    public BuiltWay WithCoils(CoilState state) => this with { Coils = [.. Coils.Select(_ => state)] };
}

/// <summary>How one receiver differs from its part; the receiver follows by <see cref="SpreadReceiver"/>.</summary>
/// <param name="SensitivityDb">Level off, dB.</param>
/// <param name="Resonance">Resonance over the stated one.</param>
/// <param name="Resistance">DC resistance over the stated one.</param>
public readonly record struct PieceDeviation(double SensitivityDb, double Resonance, double Resistance)
{
    /// <summary>As stated.</summary>
    public static PieceDeviation None { get; } = new(0, 1, 1);
}

/// <summary>How a coil is.</summary>
public enum CoilState
{
    /// <summary>In order.</summary>
    Working,

    /// <summary>Carries no current: broken, or a lead off.</summary>
    Open,

    /// <summary>Its leads touch.</summary>
    Shorted,
}
