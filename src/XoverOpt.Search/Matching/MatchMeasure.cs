namespace XoverOpt.Search;

/// <summary>
/// How far two receivers of one part, or the means of two groups of them, lie apart in dB:
/// <code>
/// mismatch = max over f | g_s(f)·Δs + g_f(f)·Δf + g_R(f)·ΔR |
/// Δs  difference in sensitivity, dB      Δf  in resonance, % of the mean      ΔR  in DC resistance, % of the mean
/// </code>
/// A row holds the three slopes at one frequency, dB per dB and dB per %. It is linear, so that n alike on one source, whose sounds add,
/// count by their mean.
/// </summary>
/// <param name="Rows">The slopes; at least one row.</param>
public sealed record MatchMeasure(IReadOnlyList<MatchSlopes> Rows)
{
    /// <summary>
    /// Without a build to say better: below resonance the sensitivity alone; above it, where a receiver falls by 12 dB an octave, 1 % of
    /// resonance moves the level by 40·log₁₀ 1.01 = 0.173 dB; behind a network of much higher impedance than the coil, which turns a
    /// voltage into a current, 1 % of resistance gives back the 20·log₁₀ 1.01 = 0.086 dB that the sensitivity at a voltage had lost by it.
    /// The first two are closed forms of a second-order system, the third of Ohm's law: bounds that a network rarely reaches.
    /// </summary>
    public static MatchMeasure Usual { get; } = new([new(1, 0, 0), new(1, 40 * Math.Log10(1.01), 0), new(1, 0, 20 * Math.Log10(1.01))]);

    /// <summary>The difference between two means, signed, at each row, dB.</summary>
    public double[] Difference(MatchMean left, MatchMean right)
    {
        double s = left.SensitivityDb - right.SensitivityDb;
        double f = 200 * (left.ResonanceHz - right.ResonanceHz) / (left.ResonanceHz + right.ResonanceHz);
        double r = 200 * (left.DcResistanceOhm - right.DcResistanceOhm) / (left.DcResistanceOhm + right.DcResistanceOhm);
        return [.. Rows.Select(row => (row.PerDb * s) + (row.PerResonancePercent * f) + (row.PerResistancePercent * r))];
    }

    /// <summary>The mismatch, dB.</summary>
    public double Mismatch(MatchMean left, MatchMean right) => Difference(left, right).Max(Math.Abs);
}

/// <summary>The slopes of a response at one frequency.</summary>
/// <param name="PerDb">dB per dB of sensitivity.</param>
/// <param name="PerResonancePercent">dB per % of resonance.</param>
/// <param name="PerResistancePercent">dB per % of DC resistance, sensitivity at a voltage held.</param>
public readonly record struct MatchSlopes(double PerDb, double PerResonancePercent, double PerResistancePercent);

/// <summary>The mean of some receivers of one part.</summary>
public readonly record struct MatchMean(double SensitivityDb, double ResonanceHz, double DcResistanceOhm)
{
    /// <summary>The mean of at least one receiver.</summary>
    public static MatchMean Of(IReadOnlyList<MeasuredReceiver> receivers) => new(
        receivers.Average(receiver => receiver.SensitivityDb),
        receivers.Average(receiver => receiver.ResonanceHz),
        receivers.Average(receiver => receiver.DcResistanceOhm));
}
