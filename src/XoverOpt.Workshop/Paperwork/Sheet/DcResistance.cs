using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// What an ohmmeter reads: capacitors block, coils are their wire. The range is that of all parts at their low or all at their high end, which bounds
/// it, since the resistance of a network of resistors rises with each of them.
/// </summary>
/// <param name="Ohm">As drawn, Ω; infinite where a capacitor blocks every way.</param>
/// <param name="LowOhm">The lowest that parts within their tolerance give.</param>
/// <param name="HighOhm">The highest.</param>
public sealed record DcResistance(double Ohm, double LowOhm, double HighOhm)
{
    /// <summary>99 % of a normal distribution lie within so many standard deviations.</summary>
    public const double Deviations = 2.576;

    /// <summary>Tolerance of a coil's wire, %: common practice, no source.</summary>
    public const double WirePercent = 10;

    /// <summary>At the socket, all ways joined.</summary>
    public static DcResistance AtSocket(Earpiece earpiece, Problem problem, Inventory drawer)
    {
        DcResistance[] ways = [.. earpiece.Ways.Select(way => OfWay(way, problem, drawer))];
        return new(Joined(way => way.Ohm), Joined(way => way.LowOhm), Joined(way => way.HighOhm));

        double Joined(Func<DcResistance, double> end) => 1 / ways.Sum(way => 1 / end(way));
    }

    /// <summary>At the input of one way before it is joined to the others.</summary>
    public static DcResistance OfWay(Way way, Problem problem, Inventory drawer)
    {
        double receiver = Deviations * (drawer.Receiver(way.Receiver.PartNumber)?.Spread?.DcResistancePercent ?? 0) / 100;
        return new(At(0), At(-1), At(1));

        double At(int end)
        {
            double one = way.Receiver.DcResistance * (1 + (end * receiver)), load = way.Wiring == Wiring.Series ? one * way.Count : one / way.Count;
            foreach (NetworkSection section in way.Network.Reverse())
            {
                double r = section.Capacitance is null
                    ? ((section.Resistance ?? 0) * (1 + (end * Tolerance(problem, drawer, section.Resistance)))) + (section.Inductance is null ? 0 : section.CoilDcr * (1 + (end * WirePercent / 100)))
                    : double.PositiveInfinity;
                load = section.Place == SectionPlace.Series ? load + r : r == 0 ? 0 : double.IsInfinity(load) ? r : load / (1 + (load / r));
            }

            return load;
        }
    }

    /// <summary>As a bench reads it, such as "24.7 Ω (24.1 to 25.3)".</summary>
    public override string ToString() => double.IsInfinity(Ohm)
        ? "open: a capacitor is in line"
        : FormattableString.Invariant($"{Ohm:0.0} Ω ({LowOhm:0.0} to {HighOhm:0.0})");

    private static double Tolerance(Problem problem, Inventory drawer, double? ohm) => ohm is not { } value ? 0
        : (problem.Passives.Resistors.Concat(drawer.Passives.Resistors).FirstOrDefault(part => Math.Abs(part.Value - value) <= 1e-9 * value)?.TolerancePercent ?? 0) / 100;
}
