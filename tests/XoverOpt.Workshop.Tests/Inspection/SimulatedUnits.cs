using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests.Inspection;

/// <summary>
/// Built units with faults, parts within their spread and a noisy bench, by seed and index. Parts are drawn as <see cref="PartSpread"/> draws them,
/// every receiver by itself. Faults, sizes chosen before any was inspected:
/// <code>
/// leads turned       any way
/// wrong damper       any way, any other value of its list or none
/// dampers exchanged  any two ways whose dampers differ
/// leak               a hole of 0.2 to 1.5 mm, even on a logarithmic scale
/// blocked tube       any way, to 10 to 50 % of its bore, logarithmic
/// dead receiver      any way; all open, shorted, or one of several
/// tube length        any way, 2 to 8 mm too long or too short (at least 1 mm is left)
/// wrong part         any part, 2 to 20 times too large or too small, or missing or bridged, or exchanged with another of its way
/// </code>
/// </summary>
internal sealed class SimulatedUnits(Earpiece build, Problem problem, ulong seed)
{
    public static readonly FaultKind[] Faults =
    [
        FaultKind.LeadsTurned, FaultKind.WrongDamper, FaultKind.DampersExchanged, FaultKind.Leak,
        FaultKind.BlockedTube, FaultKind.DeadReceiver, FaultKind.TubeLength, FaultKind.WrongPart,
    ];

    private readonly IReadOnlyList<SpreadPart> _parts = new PartSpread(build, problem, new()).Parts;
    private readonly IReadOnlyList<FaultStory> _stories = FaultStories.Of(build, problem);

    /// <summary>A unit with a fault of a kind.</summary>
    /// <returns>Its true story, the value in words, and what a bench measured of it.</returns>
    /// <param name="kind">The fault, or none.</param>
    /// <param name="index">Which unit.</param>
    /// <param name="noise">What the bench errs by.</param>
    /// <param name="unknown">
    /// Whether receivers also vary in what no story knows: one standard deviation of 5 % in compliance, inductances and front volume, 20 % in
    /// damping (invented).
    /// </param>
    public (FaultStory Story, string Words, UnitMeasurement Measured) Unit(FaultKind kind, int index, BenchNoise noise, bool unknown = false)
    {
        Random64 random = new((seed * 1_000_003) + ((ulong)kind * 100_000) + (ulong)index);
        FaultStory[] alike = [.. _stories.Where(story => story.Kind == kind)];
        string[] places = [.. alike.Select(story => story.Place).Distinct()];
        string place = places[random.Below(places.Length)];
        FaultStory[] there = [.. alike.Where(story => story.Place == place)];
        FaultStory truth = there[random.Below(there.Length)];
        double value = truth.Kind switch
        {
            FaultKind.Leak => Log(random, 0.2e-3, 1.5e-3),
            FaultKind.BlockedTube => truth.Value!.High / FaultStories.BlockedTo.High * Log(random, 0.1, 0.5),
            FaultKind.TubeLength => Math.Max(1e-3, ((truth.Value!.Low + truth.Value.High) / 2) + (Sign(random) * (2e-3 + (6e-3 * random.NextDouble())))),
            FaultKind.WrongPart when truth.Value is not null => Math.Pow(Log(random, 2, 20), Sign(random)),
            _ => 0,
        };
        BuiltUnit unit = truth.Apply(BuiltUnit.Of(build), value);
        foreach (SpreadPart part in _parts)
        {
            unit = PartDeviation.Off(unit, part, part.Draw(seed, ((long)kind * 100_000) + index));
        }

        for (int i = 0; unknown && i < unit.Ways.Count; i++)
        {
            double By(double percent) => Math.Exp(percent / 100 * random.NextNormal());
            unit = unit.With(i, built => built with
            {
                Way = built.Way with
                {
                    Receiver = built.Way.Receiver with
                    {
                        Compliance = built.Way.Receiver.Compliance * By(5),
                        Resistance = built.Way.Receiver.Resistance * By(20),
                        Inductance = built.Way.Receiver.Inductance * By(5),
                        SemiInductance = built.Way.Receiver.SemiInductance * By(5),
                        FrontVolume = built.Way.Receiver.FrontVolume * By(5),
                    },
                },
            });
        }

        string words = truth.Value is null ? truth.Words : truth.Words.Replace("{0}", truth.Value.ToWords(value), StringComparison.Ordinal);
        return (truth, words, Measure(unit, noise, random));
    }

    private UnitMeasurement Measure(BuiltUnit unit, BenchNoise noise, Random64 random)
    {
        double[] hz = [.. Enumerable.Range(0, 240).Select(k => 20 * Math.Pow(1000, k / 239.0))];
        (Complex[] p, Complex[] z) = new BuiltUnitResponse(problem, hz).Of(unit);
        double offset = noise.OffsetDb * random.NextNormal(), delay = noise.Delay * random.NextNormal();
        return new(
            hz,
            [.. p.Select(value => (20 * Math.Log10(value.Magnitude / 20e-6)) + offset + (noise.LevelDb * random.NextNormal()))],
            [.. p.Select((value, k) => (value.Phase * 180 / Math.PI) - (360 * hz[k] * delay) + (noise.PhaseDeg * random.NextNormal()))],
            [.. z.Select(value => value.Magnitude * (1 + (noise.ImpedancePercent / 100 * random.NextNormal())))],
            [.. z.Select(value => (value.Phase * 180 / Math.PI) + (noise.ImpedancePhaseDeg * random.NextNormal()))]);
    }

    private static double Log(Random64 random, double low, double high) => low * Math.Pow(high / low, random.NextDouble());

    private static int Sign(Random64 random) => random.Below(2) == 0 ? 1 : -1;
}
