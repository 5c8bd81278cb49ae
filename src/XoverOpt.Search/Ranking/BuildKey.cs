using System.Globalization;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>A canonical text of a build: equal for equal builds, whatever the order of ways.</summary>
public static class BuildKey
{
    /// <summary>The key.</summary>
    public static string Of(Earpiece earpiece) => string.Join(" | ", earpiece.Ways.Select(Of).Order(StringComparer.Ordinal));

    private static string Of(Way way) => string.Create(
        CultureInfo.InvariantCulture,
        $"{way.Count}x{way.Receiver.PartNumber} {way.Wiring} {way.Polarity} [{string.Join(';', way.Network.Select(Of))}] {way.DamperResistance:R} [{string.Join(';', way.Tube.Select(Of))}]");

    private static string Of(NetworkSection section) => string.Create(
        CultureInfo.InvariantCulture, $"{section.Place} {section.Resistance:R} {section.Capacitance:R} {section.Inductance:R}");

    private static string Of(TubeSegment piece) => string.Create(CultureInfo.InvariantCulture, $"{piece.Length:R}x{piece.Bore:R}");
}
