using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>One way in which a part may differ from its label, as a story of one unit.</summary>
/// <param name="Words">What differs, such as "low: damper".</param>
/// <param name="Apply">The unit with the part so many standard deviations off.</param>
public sealed record PartDeviation(string Words, Func<BuiltUnit, double, BuiltUnit> Apply)
{
    /// <summary>Where a drawer states no spread of a receiver (assumed; no source).</summary>
    public static readonly Spread UsualSpread = new(1, 4, 5);

    /// <summary>Tolerance of a resistor, a capacitor, a coil and a damper where the drawer states none, % (assumed; no source).</summary>
    private static readonly (double Resistor, double Capacitor, double Coil, double Damper) UsualTolerance = (1, 10, 10, 15);

    /// <summary>One standard deviation of a cut: tubes are cut to half a step either way, evenly.</summary>
    private static double CutDeviation(Problem problem) => problem.TubeStep / 2 / Math.Sqrt(3);

    /// <summary>
    /// Every deviation of a build. A receiver's spread is stated as a standard deviation; n alike deviate together by 1/√n of it. A
    /// tolerance is taken as even between its limits, so that one standard deviation is tolerance/√3.
    /// </summary>
    public static IReadOnlyList<PartDeviation> Of(Earpiece build, Problem problem)
    {
        List<PartDeviation> list = [];
        for (int i = 0; i < build.Ways.Count; i++)
        {
            int way = i;
            Way planned = build.Ways[i];
            Spread spread = SpreadOf(planned.Receiver, problem);
            double share = 1 / Math.Sqrt(planned.Count);
            Receivers("sensitivity", (receiver, z) => Deviate(receiver, spread with { SensitivityDb = share * spread.SensitivityDb }, z, 0, 0));
            Receivers("resonance", (receiver, z) => Deviate(receiver, spread with { ResonancePercent = share * spread.ResonancePercent }, 0, z, 0));
            Receivers("coil resistance", (receiver, z) => Deviate(receiver, spread with { DcResistancePercent = share * spread.DcResistancePercent }, 0, 0, z));
            for (int k = 0; k < planned.Network.Count; k++)
            {
                int place = k;
                NetworkSection part = planned.Network[k];
                (double? resistor, double? capacitor, double? coil) = Tolerances(part, problem);
                Section(place, part.Resistance is not null, "resistor", resistor, (section, factor) => section with { Resistance = section.Resistance * factor });
                Section(place, part.Capacitance is not null, "capacitor", capacitor, (section, factor) => section with { Capacitance = section.Capacitance * factor });
                Section(place, part.Inductance is not null, "coil", coil, (section, factor) => section with { Inductance = section.Inductance * factor });
            }

            if (planned.DamperResistance > 0)
            {
                double deviation = DamperTolerance(planned.DamperResistance, way, problem) / 100 / Math.Sqrt(3);
                Add("damper", (built, z) => built with { Way = built.Way with { DamperResistance = built.Way.DamperResistance * Factor(deviation * z) } });
            }

            for (int t = 0; t < planned.Tube.Count; t++)
            {
                int piece = t;
                Add("tube", (built, z) => built with
                {
                    Way = built.Way with
                    {
                        Tube = [.. built.Way.Tube.Select((tube, at) => at == piece ? tube with { Length = Math.Max(1e-4, tube.Length + (CutDeviation(problem) * z)) } : tube)],
                    },
                });
            }

            void Add(string words, Func<BuiltWay, double, BuiltWay> apply) =>
                list.Add(new($"{planned.Name}: {words}", (unit, z) => z == 0 ? unit : unit.With(way, built => apply(built, z))));
            void Receivers(string words, Func<Receiver, double, Receiver> apply) =>
                Add(words, (built, z) =>
                {
                    // One object for all that are alike, so that they are worked out once.
                    Dictionary<Receiver, Receiver> made = new(ReferenceEqualityComparer.Instance);
                    return built.WithReceivers(receiver => made.TryGetValue(receiver, out Receiver? other) ? other : made[receiver] = apply(receiver, z));
                });
            void Section(int place, bool there, string words, double? tolerance, Func<NetworkSection, double, NetworkSection> apply)
            {
                if (there && tolerance is { } percent)
                {
                    // A section that a fault took away has nothing left to deviate.
                    Add(words, (built, z) => place >= built.Way.Network.Count ? built : built with
                    {
                        Way = built.Way with { Network = [.. built.Way.Network.Select((section, at) => at == place ? apply(section, Factor(percent / 100 / Math.Sqrt(3) * z)) : section)] },
                    });
                }
            }
        }

        return list;
    }

    /// <summary>The spread of a receiver as the problem's drawer states it, or the usual one.</summary>
    public static Spread SpreadOf(Receiver receiver, Problem problem) =>
        problem.Ways.SelectMany(choice => choice.Receivers).FirstOrDefault(stock => stock.Receiver.PartNumber == receiver.PartNumber)?.Spread ?? UsualSpread;

    /// <summary>
    /// A receiver so many standard deviations off: sensitivity by the force factor, resonance by the moving mass, which leaves the level
    /// below resonance alone, resistance as it is.
    /// </summary>
    public static Receiver Deviate(Receiver receiver, Spread spread, double sensitivity, double resonance, double resistance) => receiver with
    {
        ForceFactor = receiver.ForceFactor * Math.Pow(10, spread.SensitivityDb * sensitivity / 20),
        Mass = receiver.Mass / Math.Pow(Factor(spread.ResonancePercent / 100 * resonance), 2),
        DcResistance = receiver.DcResistance * Factor(spread.DcResistancePercent / 100 * resistance),
    };

    /// <summary>The tolerances of what a section holds, %; null for what it does not.</summary>
    public static (double? Resistor, double? Capacitor, double? Coil) Tolerances(NetworkSection section, Problem problem) => (
        section.Resistance is { } r ? Stated(problem.Passives.Resistors, r) ?? UsualTolerance.Resistor : null,
        section.Capacitance is { } c ? Stated(problem.Passives.Capacitors, c) ?? UsualTolerance.Capacitor : null,
        section.Inductance is { } l ? Stated(problem.Passives.Coils, l) ?? UsualTolerance.Coil : null);

    /// <summary>The tolerance of a way's damper, %.</summary>
    public static double DamperTolerance(double resistance, int way, Problem problem) =>
        (way < problem.Ways.Count ? Stated(problem.Ways[way].Dampers, resistance) : null) ?? UsualTolerance.Damper;

    private static double? Stated(IReadOnlyList<StockValue> stock, double value) =>
        stock.FirstOrDefault(item => Math.Abs(item.Value - value) <= 1e-6 * value)?.TolerancePercent;

    /// <summary>e^x in place of 1 + x: never below zero, and one deviation upon another is their sum.</summary>
    private static double Factor(double x) => Math.Exp(x);
}
