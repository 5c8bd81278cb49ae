namespace XoverOpt.Search;

/// <summary>
/// How far parts are taken to vary of which the drawer states nothing: assumed, no source. A part that states nothing must not count as
/// exact, or it would look better than one that tells the truth. Whoever uses these says so aloud (<see cref="PartSpread.Assumed"/>).
/// </summary>
public static class UsualSpread
{
    /// <summary>A receiver, one standard deviation.</summary>
    public static Spread Receiver { get; } = new(1, 4, 5);

    /// <summary>Half-width of the band of a resistor, capacitor, coil or damper, %.</summary>
    public static double TolerancePercent(SpreadKind kind) => kind switch
    {
        SpreadKind.Resistor => 1,
        SpreadKind.Damper => 15,
        _ => 10,
    };
}
