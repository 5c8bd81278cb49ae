using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>A column whose numbers speak against the unit it names.</summary>
/// <param name="Column">Heading.</param>
/// <param name="Evidence">What speaks against it.</param>
/// <param name="Expected">What would be believed.</param>
/// <param name="Hint">What the numbers would fit.</param>
internal sealed record UnitDoubt(string Column, string Evidence, string Expected, string Hint);

/// <summary>
/// Notices a unit that is not what the heading says, where the numbers can tell. Two kinds of evidence: ranges nothing of the trade has
/// (common practice, no source), and magnitude against phase (<see cref="PhaseLaw"/>), which miss
/// each other by a factor of 57.3 where phases are radians, and by another where magnitudes are not on the scale named.
/// </summary>
internal static class MeasuredUnits
{
    private const double NeperPerDb = 1 / 8.685889638065036553;
    private const double MostRadianShare = 0.06;
    private const double LeastSpl = 50;

    /// <summary>Every doubt about a curve.</summary>
    public static IEnumerable<UnitDoubt> Doubts(MeasuredCurve curve) =>
        curve.Hz.Length < 2 ? [] : new[] { Frequency(curve.Hz), Level(curve), Phase(curve), Impedance(curve), ImpedancePhase(curve) }.OfType<UnitDoubt>();

    private static UnitDoubt? Frequency(double[] hz)
    {
        double low = hz.Min(), high = hz.Max();
        return high <= 50 && low > 0
            ? new(MeasuredColumn.Hz, Text($"frequencies from {low} to {high}"), "frequencies in Hz", "They look like kHz: multiply them by 1000.")
            : high > 100_000 && low >= 6
            ? new(MeasuredColumn.Hz, Text($"frequencies from {low} to {high}"), "frequencies in Hz", Text($"They look like rad/s: divided by 2π they end at {high / (2 * Math.PI):0} Hz."))
            : null;
    }

    private static UnitDoubt? Level(MeasuredCurve curve)
    {
        if (curve.LevelDb is not { } level)
        {
            return null;
        }

        string column = curve.IsSpl ? MeasuredColumn.SplDb : MeasuredColumn.Db;
        double low = level.Min(), high = level.Max();
        string evidence = Text($"levels from {low} to {high}");
        if (low > 0 && high > 200)
        {
            return new(column, evidence, "levels in dB", "They look like millivolts or millipascal on a linear scale: take 20·log10 of them.");
        }

        if (curve.PhaseDeg is { } phase && low > 0 && high < 200
            && PhaseLaw.Of(curve.Hz, [.. level.Select(db => db * NeperPerDb)], phase, delay: true) is { Share: > 3 or < 0.33 }
            && PhaseLaw.Of(curve.Hz, [.. level.Select(value => Math.Log(value))], phase, delay: true) is { Share: > 0.6 and < 1.6, Fit: > 0.85 } linear)
        {
            return new(
                column, evidence + ", and a phase that such a level would not ask for,", "levels in dB",
                Text($"They look like pascal or volts: the phase is {linear.Share:0.0} times what such a scale asks for. Take 20·log10 of them; pascal over 20 µPa."));
        }

        return curve.IsSpl && high < LeastSpl
            ? new(
                column, evidence, Text($"dB re 20 µPa, somewhere above {LeastSpl}, else a room's noise would cover it"),
                (low > 0 ? Text($"They look like pascal: that would be {Spl(low):0} to {Spl(high):0} dB re 20 µPa. Or they") : "They")
                + " look like dB with another reference: add 94 dB to dB re 1 Pa, or name the column db where the reference is unknown.")
            : null;
    }

    private static UnitDoubt? Phase(MeasuredCurve curve)
    {
        if (curve is not { LevelDb: { } level, PhaseDeg: { } phase } || phase.Length < 8)
        {
            return null;
        }

        double octaves = Math.Log2(curve.HighHz / curve.LowHz);
        int jumps = Jumps(phase);
        if (Within(phase, out double low, out double high) && ((high - low > 1 && octaves > 3) || jumps > 0))
        {
            return Radians(MeasuredColumn.PhaseDeg, low, high, jumps > 0 ? Text($" with {jumps} jumps of 6.28") : Text($" over {octaves:0.0} octaves"));
        }

        return PhaseLaw.Of(curve.Hz, [.. level.Select(db => db * NeperPerDb)], phase, delay: true) is { Spread: > 40, Fit: > 0.85 } law && Math.Abs(law.Share) < MostRadianShare
            && high - low < 200
            ? Radians(MeasuredColumn.PhaseDeg, low, high, Text($" where the slope of the level asks for changes of {law.Spread:0}°"))
            : null;
    }

    private static UnitDoubt? Impedance(MeasuredCurve curve)
    {
        if (curve.ImpedanceOhm is not { } ohm)
        {
            return null;
        }

        double low = ohm.Min(), high = ohm.Max();
        string evidence = Text($"impedances from {low} to {high}");
        if (low > 0 && high < 2)
        {
            return new(MeasuredColumn.ImpedanceOhm, evidence, "impedances in Ω", Text($"They look like kΩ: that would be {low * 1000:0.#} to {high * 1000:0.#} Ω."));
        }

        if (low <= 0)
        {
            return new(MeasuredColumn.ImpedanceOhm, evidence, "impedances in Ω, all above 0", "They look like dB, or like the real or imaginary part: a magnitude is never 0 or less.");
        }

        if (high <= 140 && curve.ImpedancePhaseDeg is { } phase
            && PhaseLaw.Of(curve.Hz, [.. ohm.Select(value => Math.Log(value))], phase, delay: false) is { Share: > 1.7, Fit: > 0.85 } stated
            && PhaseLaw.Of(curve.Hz, [.. ohm.Select(db => db * NeperPerDb)], phase, delay: false) is { Share: > 0.6 and < 1.6, Fit: > 0.85 } inDb
            && Math.Abs(Math.Log(inDb.Share)) < Math.Abs(Math.Log(stated.Share)))
        {
            return new(
                MeasuredColumn.ImpedanceOhm,
                evidence + Text($", and a phase {stated.Share:0.0} times what their slope asks for,"),
                "impedances in Ω",
                Text($"They look like dB re 1 Ω: that would be {Math.Pow(10, low / 20):0.#} to {Math.Pow(10, high / 20):0.#} Ω, and the phase would fit."));
        }

        return null;
    }

    private static UnitDoubt? ImpedancePhase(MeasuredCurve curve)
    {
        if (curve is not { ImpedanceOhm: { } ohm, ImpedancePhaseDeg: { } phase } || phase.Length < 8 || ohm.Min() <= 0)
        {
            return null;
        }

        return Within(phase, out double low, out double high)
            && PhaseLaw.Of(curve.Hz, [.. ohm.Select(value => Math.Log(value))], phase, delay: false) is { Spread: > 10, Fit: > 0.85 } law && Math.Abs(law.Share) < MostRadianShare
            ? Radians(MeasuredColumn.ImpedancePhaseDeg, low, high, Text($" where the slope of the impedance asks for changes of {law.Spread:0}°"))
            : null;
    }

    private static UnitDoubt Radians(string column, double low, double high, string why) => new(
        column,
        Text($"phases from {low} to {high}{why}"),
        "phases in degrees",
        Text($"They look like radians: multiply them by 57.29578, which gives {low * 180 / Math.PI:0}° to {high * 180 / Math.PI:0}°."));

    /// <summary>Whether all phases are such as wrapped radians can be.</summary>
    private static bool Within(double[] phase, out double low, out double high)
    {
        (low, high) = (phase.Min(), phase.Max());
        return (low >= -3.1425 && high <= 3.1425) || (low >= 0 && high <= 6.2842);
    }

    private static int Jumps(double[] phase) => phase.Zip(phase.Skip(1)).Count(pair => Math.Abs(pair.Second - pair.First) is > 5.2 and < 6.3);

    private static double Spl(double pascal) => 20 * Math.Log10(pascal / MeasuredCurve.ReferencePressure);

    private static string Text(FormattableString text) => FormattableString.Invariant(text);
}
