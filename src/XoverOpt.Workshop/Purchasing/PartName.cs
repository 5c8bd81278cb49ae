using System.Globalization;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>The one name of a part, by which lists, reservations and stock tell parts apart.</summary>
public static class PartName
{
    /// <summary>Its part number, with the value for one of a series; its kind and value where it has none.</summary>
    /// <param name="kind">What it is.</param>
    /// <param name="partNumber">Its number; null where it has none.</param>
    /// <param name="value">Its value, SI; the bore of tubing.</param>
    public static string Of(PartKind kind, string? partNumber, double value) =>
        partNumber is null ? $"{kind.ToString().ToLowerInvariant()} {Value(kind, value)}"
        // A series is one entry in the drawer, but each of its values is a part of its own with a stock of its own.
        : kind is PartKind.Resistor or PartKind.Capacitor or PartKind.Coil ? $"{partNumber} {Value(kind, value)}"
        : partNumber;

    /// <summary>A value with its unit, such as "39 Ω"; empty for a receiver.</summary>
    public static string Value(PartKind kind, double value) => kind switch
    {
        PartKind.Resistor => Text(value, "Ω"),
        PartKind.Capacitor => Text(Units.ToMicrofarad(value), "µF"),
        PartKind.Coil => Text(Units.ToMillihenry(value), "mH"),
        PartKind.Damper => Text(Units.ToOhmCgs(value), "cgs Ω"),
        PartKind.Tubing => Text(Units.ToMm(value), "mm bore"),
        _ => "",
    };

    /// <summary>A name as people type it: without needless spaces, "ohm" for Ω, and u or either of the two letters µ for micro.</summary>
    /// <param name="typed">As typed.</param>
    public static string OfTyped(string typed)
    {
        string[] words = [.. typed.Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)];
        for (int i = 1; i < words.Length; i++)
        {
            words[i] = words[i].ToLowerInvariant() switch
            {
                "ohm" or "ohms" or "ω" => "Ω",
                "uf" or "µf" or "μf" => "µF",
                "mh" => "mH",
                _ => words[i],
            };
        }

        return string.Join(' ', words);
    }

    private static string Text(double value, string unit) => string.Create(CultureInfo.InvariantCulture, $"{value:0.######} {unit}");
}
