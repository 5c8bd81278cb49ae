using System.Globalization;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// The single-fault stories of a build. Before measuring, nine units in ten are taken to be in order; each of the eight kinds of fault is as likely
/// as the next, and so is each place within a kind and each story of a place.
/// </summary>
public static class FaultStories
{
    /// <summary>How likely a unit is in order before it is measured (assumed; no source).</summary>
    public const double GoodBefore = 0.9;

    /// <summary>Range of leak bores, m.</summary>
    public static (double Low, double High) LeakBore { get; } = (0.1e-3, 2e-3);

    /// <summary>Range of what a blockage leaves of the tube's bore.</summary>
    public static (double Low, double High) BlockedTo { get; } = (0.05, 0.8);

    /// <summary>How far a cut may be off, m.</summary>
    public const double CutError = 10e-3;

    /// <summary>By what factor a part may be off.</summary>
    public const double PartFactor = 30;

    /// <summary>The stories of a build; the first is that nothing is wrong.</summary>
    public static IReadOnlyList<FaultStory> Of(Earpiece build, Problem problem)
    {
        List<FaultStory> list = [];
        list.AddRange(Turned(build));
        list.AddRange(Dampers(build, problem));
        list.AddRange(DampersExchanged(build));
        list.Add(new(FaultKind.Leak, "", "a leak to the room, as through a hole of {0}", 1, new(LeakBore.Low, LeakBore.High, true, Millimetre), (unit, bore) => unit with { LeakBore = bore }));
        list.AddRange(Blocked(build));
        list.AddRange(Dead(build));
        list.AddRange(Tubes(build));
        list.AddRange(Parts(build));

        FaultStory none = new(FaultKind.NoneFound, "", "parts within their spread", GoodBefore, null, (unit, _) => unit);
        int kinds = list.Select(story => story.Kind).Distinct().Count();
        return [none, .. list.GroupBy(story => story.Kind).SelectMany(kind =>
        {
            int places = kind.Select(story => story.Place).Distinct().Count();
            return kind.GroupBy(story => story.Place).SelectMany(place =>
            {
                double sum = place.Sum(story => story.Prior);
                return place.Select(story => story with { Prior = (1 - GoodBefore) / kinds / places * story.Prior / sum });
            });
        })];
    }

    private static IEnumerable<FaultStory> Turned(Earpiece build) => build.Ways.Select((way, i) => new FaultStory(
        FaultKind.LeadsTurned, way.Name, $"the leads of the {way.Name} way turned over", 1, null,
        (unit, _) => unit.With(i, built => built with { Way = built.Way with { Polarity = built.Way.Polarity == Polarity.Normal ? Polarity.Inverted : Polarity.Normal } })));

    private static IEnumerable<FaultStory> Dampers(Earpiece build, Problem problem) => build.Ways.SelectMany((way, i) =>
        (i < problem.Ways.Count ? problem.Ways[i].Dampers : []).Select(damper => damper.Value).Prepend(0).Distinct()
            .Where(ohm => Math.Abs(ohm - way.DamperResistance) > 1e-6 * way.DamperResistance)
            .Select(ohm => new FaultStory(
                FaultKind.WrongDamper,
                way.Name,
                ohm == 0 ? $"the damper of the {way.Name} way missing" : Text($"a damper of {ohm / 1e5:0} cgs Ω in the {way.Name} way in place of {(way.DamperResistance == 0 ? "none" : Text($"{way.DamperResistance / 1e5:0}"))}"),
                1,
                null,
                (unit, _) => WithDamper(unit, i, ohm))));

    private static IEnumerable<FaultStory> DampersExchanged(Earpiece build) =>
        from i in Enumerable.Range(0, build.Ways.Count)
        from j in Enumerable.Range(i + 1, build.Ways.Count - i - 1)
        let a = build.Ways[i]
        let b = build.Ways[j]
        where Math.Abs(a.DamperResistance - b.DamperResistance) > 1e-6 * (a.DamperResistance + b.DamperResistance)
        select new FaultStory(
            FaultKind.DampersExchanged, $"{a.Name}, {b.Name}", $"the dampers of the {a.Name} and the {b.Name} way exchanged", 1, null,
            (unit, _) => WithDamper(WithDamper(unit, i, b.DamperResistance), j, a.DamperResistance));

    private static IEnumerable<FaultStory> Blocked(Earpiece build) => build.Ways.Where(way => way.Tube.Count > 0).Select(way =>
    {
        (int i, double bore) = (IndexOf(build, way), way.Tube[^1].Bore);
        return new FaultStory(
            FaultKind.BlockedTube, way.Name, $"the tube of the {way.Name} way blocked to a bore of {{0}} over a millimetre", 1,
            new(BlockedTo.Low * bore, BlockedTo.High * bore, true, Millimetre),
            (unit, left) => unit.With(i, built => built with { BlockedBore = left }));
    });

    private static IEnumerable<FaultStory> Dead(Earpiece build)
    {
        foreach (Way way in build.Ways)
        {
            int i = IndexOf(build, way);
            FaultStory Story(string place, string words, Func<BuiltWay, BuiltWay> change) =>
                new(FaultKind.DeadReceiver, place, words, 1, null, (unit, _) => unit.With(i, change));
            yield return Story($"{way.Name} silent, open", $"the {way.Name} way carries no current: a coil, a lead or a part in line is open", built => built.WithCoils(CoilState.Open));
            yield return Story($"{way.Name} silent, shorted", $"the {way.Name} way silent: its leads or a coil shorted", built => built.WithCoils(CoilState.Shorted));
            if (way.Count > 1)
            {
                CoilState one = way.Wiring == Wiring.Parallel ? CoilState.Open : CoilState.Shorted;
                yield return Story(
                    $"{way.Name} one of {way.Count}",
                    Text($"one of the {way.Count} receivers of the {way.Name} way dead: its coil {(one == CoilState.Open ? "open" : "shorted")}"),
                    built => built with { Coils = [one, .. built.Coils.Skip(1)] });
            }
        }
    }

    private static IEnumerable<FaultStory> Tubes(Earpiece build) => build.Ways.Where(way => way.Tube.Count > 0).Select(way =>
    {
        (int i, double length) = (IndexOf(build, way), way.Tube[^1].Length);
        return new FaultStory(
            FaultKind.TubeLength, way.Name, Text($"the tube of the {way.Name} way {{0}} long in place of {length * 1e3:0.#} mm"), 1,
            new(Math.Max(1e-3, length - CutError), length + CutError, false, Millimetre),
            (unit, cut) => unit.With(i, built => built with
            {
                // Added to what the cut is off by itself.
                Way = built.Way with { Tube = [.. built.Way.Tube.SkipLast(1), built.Way.Tube[^1] with { Length = Math.Max(1e-4, built.Way.Tube[^1].Length + cut - length) }] },
            }));
    });

    private static IEnumerable<FaultStory> Parts(Earpiece build)
    {
        foreach (Way way in build.Ways)
        {
            int i = IndexOf(build, way);
            for (int k = 0; k < way.Network.Count; k++)
            {
                int at = k;
                NetworkSection part = way.Network[k];
                string name = PartName(way, k);
                if (Nominal(part) is { } value)
                {
                    yield return new(
                        FaultKind.WrongPart, name, $"{name} {{0}} in place of {PartValue(part, value)}", 2,
                        new(1 / PartFactor, PartFactor, true, factor => PartValue(part, value * factor)),
                        (unit, factor) => unit.With(i, built => Replace(built, at, Scaled(built.Way.Network[at], factor))));
                }

                string gone = part.Place == SectionPlace.Series ? "bridged by solder" : "missing";
                yield return new(FaultKind.WrongPart, name, $"{name} {gone}", 1, null, (unit, _) => unit.With(i, built => Replace(built, at, Gone(part.Place))));

                for (int j = k + 1; j < way.Network.Count; j++)
                {
                    int other = j;
                    if (!SameWhenExchanged(way.Network, k, j))
                    {
                        yield return new(
                            FaultKind.WrongPart, $"{name} and {PartName(way, j)}", $"{name} and {PartName(way, j)} exchanged", 1, null,
                            (unit, _) => unit.With(i, built => Replace(
                                Replace(built, at, built.Way.Network[other] with { Place = part.Place }), other, built.Way.Network[at] with { Place = built.Way.Network[other].Place })));
                    }
                }
            }
        }
    }

    /// <summary>Parts in line with nothing but parts in line between them may stand in any order.</summary>
    private static bool SameWhenExchanged(IReadOnlyList<NetworkSection> network, int a, int b) =>
        network.Skip(a).Take(b - a + 1).All(section => section.Place == network[a].Place) || network[a] with { Place = network[b].Place } == network[b];

    /// <summary>A part that is not there: a bridge in line, nothing across. It keeps its place, so that the others keep theirs.</summary>
    private static NetworkSection Gone(SectionPlace place) => new(place, Resistance: place == SectionPlace.Series ? 0 : 1e12);

    private static NetworkSection Scaled(NetworkSection part, double factor) => part switch
    {
        { Capacitance: { } c } => part with { Capacitance = c * factor },
        { Inductance: { } l } => part with { Inductance = l * factor },
        _ => part with { Resistance = part.Resistance * factor },
    };

    private static double? Nominal(NetworkSection part) => part.Capacitance ?? part.Inductance ?? (part.Resistance is > 0 ? part.Resistance : null);

    private static string PartName(Way way, int at)
    {
        NetworkSection part = way.Network[at];
        string kind = part.Capacitance is not null ? "capacitor" : part.Inductance is not null ? "coil" : "resistor";
        bool alone = way.Network.Count(other => PartKey(other) == PartKey(part)) == 1;
        string which = alone ? "" : Text($" (section {at + 1})");
        return $"the {way.Name} way's {kind} {(part.Place == SectionPlace.Series ? "in line" : "across")}{which}";

        static (SectionPlace, bool, bool) PartKey(NetworkSection section) => (section.Place, section.Capacitance is not null, section.Inductance is not null);
    }

    private static string PartValue(NetworkSection part, double value) =>
        part.Capacitance is not null ? Text($"{value * 1e6:G3} µF") : part.Inductance is not null ? Text($"{value * 1e3:G3} mH") : Text($"{value:G3} Ω");

    private static BuiltWay Replace(BuiltWay built, int at, NetworkSection section) =>
        built with { Way = built.Way with { Network = [.. built.Way.Network.Select((old, k) => k == at ? section : old)] } };

    private static BuiltUnit WithDamper(BuiltUnit unit, int way, double ohm) => unit.With(way, built => built with { Way = built.Way with { DamperResistance = ohm } });

    private static int IndexOf(Earpiece build, Way way) => Enumerable.Range(0, build.Ways.Count).First(i => ReferenceEquals(build.Ways[i], way));

    private static string Millimetre(double metre) => Text($"{metre * 1e3:0.00} mm");

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
