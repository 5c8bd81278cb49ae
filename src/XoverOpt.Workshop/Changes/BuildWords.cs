using System.Globalization;
using XoverOpt.Acoustics;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Changes;

/// <summary>Builds in few words, and what two of them differ in.</summary>
internal static class BuildWords
{
    /// <summary>Its receivers by way, such as "low 2×OS-L2 in parallel, high OS-H1".</summary>
    public static string Receivers(Earpiece build) => string.Join(", ", build.Ways.Select(way =>
        $"{way.Name} {Count(way)}{way.Receiver.PartNumber}{(way.Count == 1 ? "" : way.Wiring == Wiring.Parallel ? " in parallel" : " in series")}"
        + (way.Polarity == Polarity.Inverted ? " turned over" : "")));

    /// <summary>All that is not a value: receivers, counts, wiring, polarity, networks. Builds that share it are tunings of one another.</summary>
    public static string Scheme(Earpiece build) => string.Join('|', build.Ways.Select(way =>
        $"{way.Name} {Receivers(new([way]))} {string.Join(';', way.Network.Select(section => $"{section.Place} {section.Resistance is not null} {section.Capacitance is not null} {section.Inductance is not null}"))}"));

    /// <summary>The values that differ between two tunings.</summary>
    public static IReadOnlyList<string> Retuned(Earpiece old, Earpiece now) => [.. old.Ways.Zip(now.Ways).SelectMany(pair => Retuned(pair.First, pair.Second))];

    private static IEnumerable<string> Retuned(Way old, Way now)
    {
        foreach ((NetworkSection was, NetworkSection has) in old.Network.Zip(now.Network))
        {
            foreach (string words in new[]
            {
                Value(old.Name, Search.PartKind.Resistor, was.Resistance, has.Resistance), Value(old.Name, Search.PartKind.Capacitor, was.Capacitance, has.Capacitance),
                Value(old.Name, Search.PartKind.Coil, was.Inductance, has.Inductance),
            }.OfType<string>())
            {
                yield return words;
            }
        }

        if (Value(old.Name, Search.PartKind.Damper, old.DamperResistance, now.DamperResistance) is { } damper)
        {
            yield return damper;
        }

        string before = Tube(old), after = Tube(now);
        if (before != after)
        {
            yield return $"{old.Name} tube {after} instead of {before}";
        }
    }

    private static string? Value(string way, Search.PartKind kind, double? old, double? now) => old is not { } was || now is not { } has || was == has
        ? null
        : $"{way} {kind.ToString().ToLowerInvariant()} {Text(kind, has)} instead of {Text(kind, was)}";

    private static string Text(Search.PartKind kind, double value) => value == 0 ? "none" : PartName.Value(kind, value);

    private static string Tube(Way way) => string.Join(" and ", way.Tube.Select(piece =>
        string.Create(CultureInfo.InvariantCulture, $"{Units.ToMm(piece.Length):0.##} mm of {Units.ToMm(piece.Bore):0.##} mm bore")));

    private static string Count(Way way) => way.Count == 1 ? "" : string.Create(CultureInfo.InvariantCulture, $"{way.Count}×");
}
