using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search;

/// <summary>The response of a build in another ear.</summary>
/// <param name="Name">Which ear.</param>
/// <param name="Weight">Its weight in the movement; 0 for one that is only shown.</param>
/// <param name="Change">Level and shape against the ear it departs from.</param>
/// <param name="ChangeDb">The change at every frequency, level included, dB.</param>
public sealed record EarCase(string Name, double Weight, ResponseChange Change, IReadOnlyList<double> ChangeDb);

/// <summary>What opening the mouth does with a seal at one depth.</summary>
/// <param name="Seal">The depth.</param>
/// <param name="Widens">A canal that widens, about four in five.</param>
/// <param name="Narrows">A canal that narrows, about one in five.</param>
/// <param name="MovementDb">RMS change while singing, level included, over singers, on log frequency, dB.</param>
public sealed record JawMovement(string Seal, EarCase Widens, EarCase Narrows, double MovementDb);

/// <summary>How a build behaves in other ears than the job's.</summary>
public sealed record EarSpread
{
    /// <summary>Up to here the simulator stands for an ear, Hz; the shape is judged no higher.</summary>
    public const double HighestHz = 10_000;

    /// <summary>Frequencies, Hz, 24 an octave from 20 Hz to 20 kHz.</summary>
    public required IReadOnlyList<double> Hz { get; init; }

    /// <summary>
    /// The figure to compare builds by: RMS change of shape over the weighted ears but the job's own, over the target band up to 10 kHz
    /// on log frequency, dB. Least is best.
    /// </summary>
    public required double MovementDb { get; init; }

    /// <summary>The weighted ear in which the shape changes most.</summary>
    public required string WorstCase { get; init; }

    /// <summary>Every ear; those of no weight are only shown.</summary>
    public required IReadOnlyList<EarCase> Cases { get; init; }

    /// <summary>The highest change over the weighted ears at every frequency, level included, dB.</summary>
    public required IReadOnlyList<double> HighestDb { get; init; }

    /// <summary>The lowest.</summary>
    public required IReadOnlyList<double> LowestDb { get; init; }

    /// <summary>What opening the mouth does: job's seal, deep seal, shallow seal.</summary>
    public required IReadOnlyList<JawMovement> Jaw { get; init; }

    /// <summary>The two ears of a head.</summary>
    public required EarPair Pair { get; init; }

    /// <summary>How much deeper the deep seal could sit in the model, m.</summary>
    public required double DeepSeal { get; init; }

    /// <summary>Computes it.</summary>
    public static EarSpread Of(Earpiece earpiece, Problem problem, EarSettings settings)
    {
        var bands = new ChangeBands(problem, HighestHz);
        Ear own = problem.Ear;
        EarCase[] weighted = [.. EarScenarios.Cases(settings).Skip(1).Select(one => Case(one.Name, one.Weight, own, one.Change.Of(own)))];
        IEnumerable<EarCase> shown = EarSimulator.Sets.Where(set => set != own.Simulator)
            .Select(set => Case($"element set {set.Name}", 0, own, new EarChange { Simulator = set }.Of(own)));
        double weights = weighted.Sum(one => one.Weight);
        double deep = Math.Min(settings.DeepSeal, own.Room);
        return new()
        {
            Hz = bands.Hz,
            MovementDb = Math.Sqrt(weighted.Sum(one => one.Weight * one.Change.RmsDb * one.Change.RmsDb) / weights),
            WorstCase = weighted.MaxBy(one => one.Change.RmsDb)!.Name,
            Cases = [.. weighted, .. shown],
            HighestDb = [.. bands.Hz.Select((_, k) => weighted.Max(one => one.ChangeDb[k]))],
            LowestDb = [.. bands.Hz.Select((_, k) => weighted.Min(one => one.ChangeDb[k]))],
            Jaw = [Mouth("the job's seal", 0), Mouth("deep seal", deep), Mouth("shallow seal", -settings.ShallowSeal)],
            Pair = EarPair.Of(earpiece, problem, bands, settings.LeftEar, settings.RightEar),
            DeepSeal = deep,
        };

        EarCase Case(string name, double weight, Ear from, Ear to)
        {
            PlainResponse[] before = bands.Responses(earpiece, from, problem.Source), after = bands.Responses(earpiece, to, problem.Source);
            double[] db = [.. after.Zip(before, (one, other) => 20 * Math.Log10((one.DrumPressure / other.DrumPressure).Magnitude))];
            return new(name, weight, bands.Judge(db), db);
        }

        JawMovement Mouth(string seal, double depth)
        {
            Ear closed = own.Deeper(depth);
            EarCase widens = Case("canal widens", Search.Jaw.Widens, closed, Search.Jaw.Wider.Of(closed));
            EarCase narrows = Case("canal narrows", 1 - Search.Jaw.Widens, closed, Search.Jaw.Narrower.Of(closed));
            return new(seal, widens, narrows, Math.Sqrt((widens.Weight * Square(widens.Change)) + (narrows.Weight * Square(narrows.Change))));
        }

        // Here the level counts too: nobody turns the volume while singing.
        static double Square(ResponseChange change) => (change.RmsDb * change.RmsDb) + (change.LevelDb * change.LevelDb);
    }
}
