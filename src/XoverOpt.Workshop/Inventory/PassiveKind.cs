using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>A kind of network part, with the names its values bear in files.</summary>
/// <param name="Name">Such as "resistor".</param>
/// <param name="Plural">The key for it in a job's passives, such as "resistors".</param>
/// <param name="Unit">The unit as in keys, such as "ohm".</param>
/// <param name="Loss">The key for its loss resistance; null for a resistor.</param>
/// <param name="ToSi">From the unit to SI.</param>
/// <param name="FromSi">From SI to the unit.</param>
/// <param name="Part">The kind of part it is.</param>
public sealed record PassiveKind(
    string Name, string Plural, string Unit, string? Loss, Func<double, double> ToSi, Func<double, double> FromSi, PartKind Part)
{
    /// <summary>Resistors, Ω.</summary>
    public static readonly PassiveKind Resistor = new("resistor", "resistors", "ohm", null, ohm => ohm, ohm => ohm, PartKind.Resistor);

    /// <summary>Capacitors, µF in files.</summary>
    public static readonly PassiveKind Capacitor = new("capacitor", "capacitors", "microfarad", "esrOhm", Units.FromMicrofarad, Units.ToMicrofarad, PartKind.Capacitor);

    /// <summary>Coils, mH in files.</summary>
    public static readonly PassiveKind Coil = new("coil", "coils", "millihenry", "dcrOhm", Units.FromMillihenry, Units.ToMillihenry, PartKind.Coil);

    /// <summary>All kinds.</summary>
    public static IReadOnlyList<PassiveKind> All { get; } = [Resistor, Capacitor, Coil];

    /// <summary>The values of this kind in a stock.</summary>
    public IReadOnlyList<StockValue> In(PassiveStock stock) =>
        this == Resistor ? stock.Resistors : this == Capacitor ? stock.Capacitors : stock.Coils;

    /// <summary>What a value may be, in the unit of files.</summary>
    public NumberRange Range => NumberRange.Positive(1e6, Unit);

    /// <summary>Reads a list of values, or a series from a smallest to a largest value, into SI, rising and each once.</summary>
    /// <returns>The values; empty after a fault.</returns>
    public IReadOnlyList<double> ReadSeries(ObjectReader reader)
    {
        string capital = char.ToUpperInvariant(Unit[0]) + Unit[1..];
        string? series = reader.Required("series", "one of " + string.Join(", ", PreferredValues.Series))
            ?.AsChoice([.. PreferredValues.Series.Select((name, k) => (name, k))]) is { } index
            ? PreferredValues.Series[index]
            : null;
        double min = reader.RequiredNumber("min" + capital, new(1e-6, 1e6, Unit));
        double max = reader.RequiredNumber("max" + capital, new(1e-6, 1e6, Unit));
        if (min > max)
        {
            reader.Optional("max" + capital)!.Refuse(FormattableString.Invariant($"at least min{capital}, {min} {Unit}"));
        }

        if (series is null || !(min <= max))
        {
            return [];
        }

        IReadOnlyList<double> values = PreferredValues.Within(series, min, max);
        if (values.Count == 0)
        {
            reader.At.Refuse($"a range that holds at least one value of {series}");
        }

        return [.. values.Select(ToSi)];
    }

    /// <summary>Reads a list of values into SI, rising and each once.</summary>
    public IReadOnlyList<double> ReadValues(JsonCursor at) =>
        [.. (at.AsList(min: 1, max: 2000) ?? []).Select(item => item.AsNumber(Range)).OfType<double>().Distinct().Order().Select(ToSi)];
}
