using XoverOpt.Acoustics;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>A way in words, alike on every paper.</summary>
internal static class WayWords
{
    /// <summary>How many of which receiver, how wired, which way round.</summary>
    public static string Receivers(Way way) =>
        FormattableString.Invariant($"{way.Count} × {way.Receiver.PartNumber}")
        + (way.Count == 1 ? "" : way.Wiring == Wiring.Parallel ? " in parallel" : " in series")
        + (way.Polarity == Polarity.Normal ? ", leads as marked" : ", leads turned over");
}
