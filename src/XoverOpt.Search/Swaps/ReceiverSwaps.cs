using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search;

/// <summary>
/// Which receivers of a drawer could take the place of one that is out, and what the build comes to with each: counts, wiring, polarities
/// and network shapes stay, values, dampers, tube lengths and bores are optimised anew. Deterministic; safe from many threads.
/// </summary>
public sealed class ReceiverSwaps
{
    /// <summary>What another balance of the ways may mend of a peak SPL, dB.</summary>
    private const double PeakSlackDb = 1;

    private readonly BuildEvaluation _evaluation;
    private readonly Dictionary<string, StockReceiver> _known;
    private readonly double[] _weights;
    private readonly int[] _ways;
    private readonly StockReceiver _gone;

    /// <summary>Prepares.</summary>
    /// <param name="problem">The job that judges the build.</param>
    /// <param name="earpiece">The build; <see cref="Obstacle"/> finds none in it.</param>
    /// <param name="partNumber">The receiver that is out; at least one way has it.</param>
    /// <param name="drawer">What the drawer holds.</param>
    public ReceiverSwaps(Problem problem, Earpiece earpiece, string partNumber, IReadOnlyList<StockReceiver> drawer)
    {
        Problem = problem;
        Earpiece = earpiece;
        var tables = new ProblemTables(problem, 24);
        _evaluation = new BuildEvaluation(problem, tables);
        _weights = tables.Grid.BandWeights(problem.Target.BandLowHz, problem.Target.BandHighHz, problem.Target.Weights.At);
        _ways = [.. Enumerable.Range(0, earpiece.Ways.Count).Where(way => earpiece.Ways[way].Receiver.PartNumber == partNumber)];
        _known = problem.Ways.SelectMany(way => way.Receivers).Concat(drawer).DistinctBy(stock => stock.Receiver.PartNumber).ToDictionary(stock => stock.Receiver.PartNumber);
        _gone = Known(earpiece.Ways[_ways[0]].Receiver);
        Original = Judge(earpiece, Narrowed(earpiece));
        Candidates = Order(drawer);
    }

    /// <summary>The job.</summary>
    public Problem Problem { get; }

    /// <summary>The build.</summary>
    public Earpiece Earpiece { get; }

    /// <summary>The build as it is, judged.</summary>
    public RankedBuild Original { get; }

    /// <summary>How many of the receiver one earpiece has.</summary>
    public int Pieces => _ways.Sum(way => Earpiece.Ways[way].Count);

    /// <summary>The ways that have it.</summary>
    public IReadOnlyList<string> Ways => [.. _ways.Select(way => Earpiece.Ways[way].Name)];

    /// <summary>Every receiver of the drawer that is at hand, nearest first.</summary>
    public IReadOnlyList<SwapCandidate> Candidates { get; }

    /// <summary>Why a build cannot be optimised anew under a job, in words; null where it can.</summary>
    public static string? Obstacle(Problem problem, Earpiece earpiece) =>
        !earpiece.Ways.Select(way => way.Name).SequenceEqual(problem.Ways.Select(way => way.Name))
            ? $"its ways are {Names(earpiece.Ways.Select(way => way.Name))}, those of the job {Names(problem.Ways.Select(way => way.Name))}"
            : earpiece.Ways.FirstOrDefault(way => way.Tube.Count != 1) is { } way ? $"the tube of its {way.Name} way is not of one piece" : null;

    /// <summary>Puts a candidate in and optimises the rest.</summary>
    public SwapResult Swap(SwapCandidate candidate)
    {
        Earpiece asItIs = With(candidate.Receiver.Receiver);
        Problem narrowed = Narrowed(asItIs, candidate.Receiver);
        var refit = new SwapRefit(narrowed, asItIs);
        return new(candidate, refit.Best(), refit.AsItIs, narrowed, refit.Evaluations);
    }

    private static string Names(IEnumerable<string> names) => string.Join(", ", names);

    private IReadOnlyList<SwapCandidate> Order(IReadOnlyList<StockReceiver> drawer)
    {
        EarpieceResponse before = _evaluation.Response(Earpiece);
        return [.. drawer
            .Where(stock => stock.Receiver.PartNumber != _gone.Receiver.PartNumber && AtHand(stock))
            .Select(stock => (Stock: stock, Build: With(stock.Receiver)))
            .Select(pair => (pair.Stock, Distance: ReceiverDistance.Of(before, _evaluation.Response(pair.Build), _weights, _ways, _gone, pair.Stock), PeakShort: PeakShort(pair.Build)))
            .Where(pair => double.IsFinite(pair.Distance.ResponseDb))
            .OrderBy(pair => pair.PeakShort > PeakSlackDb).ThenBy(pair => pair.Distance.ResponseDb).ThenBy(pair => pair.Stock.Receiver.PartNumber, StringComparer.Ordinal)
            .Select((pair, index) => new SwapCandidate(
                pair.Stock, index + 1, pair.Distance, pair.PeakShort, _ways.All(way => Problem.Ways[way].Receivers.Any(listed => listed.Receiver.PartNumber == pair.Stock.Receiver.PartNumber))))];
    }

    /// <summary>Where stock decides it must serve the job's sets (a left and a right each), with those the build has of it already; else there must be one, or nothing known of it.</summary>
    private bool AtHand(StockReceiver stock)
    {
        int others = Earpiece.Ways.Where(way => way.Receiver.PartNumber == stock.Receiver.PartNumber).Sum(way => way.Count);
        return Problem.Limits.StockOnly ? stock.Supply?.Stock >= 2 * Problem.Limits.Sets * (Pieces + others) : stock.Supply?.Stock is not <= 0;
    }

    private double PeakShort(Earpiece build) => Problem.Limits.MinPeakSpl.Select(peak =>
    {
        Headroom before = Headroom.At(Earpiece, Problem.Ear, peak.Hz), after = Headroom.At(build, Problem.Ear, peak.Hz);
        return !after.Known && before.Known ? double.PositiveInfinity : (before.Known ? Math.Min(peak.Db, before.Spl) : double.NegativeInfinity) - after.Spl;
    }).Append(0).Max();

    private Earpiece With(Receiver receiver) => new([.. Earpiece.Ways.Select((way, index) => _ways.Contains(index) ? way with { Receiver = receiver } : way)]);

    private StockReceiver Known(Receiver receiver) =>
        _known.TryGetValue(receiver.PartNumber, out StockReceiver? stock) && stock.Receiver == receiver ? stock : new(receiver, "", "", [], null, null, null);

    /// <summary>The job with one layout left, and its bores.</summary>
    private Problem Narrowed(Earpiece earpiece, StockReceiver? newcomer = null) => Problem with
    {
        Ways = [.. earpiece.Ways.Select((way, index) => Problem.Ways[index] with
        {
            Receivers = [newcomer is not null && newcomer.Receiver == way.Receiver ? newcomer : Known(way.Receiver)],
            Counts = [way.Count],
            Wirings = [way.Wiring],
            Polarities = [way.Polarity],
            Networks = [new NetworkShape([.. way.Network.Select(section =>
                new SectionShape(section.Place, section.Resistance is not null, section.Capacitance is not null, section.Inductance is not null))])],
        })],
    };

    private static RankedBuild Judge(Earpiece earpiece, Problem narrowed) => new BuildEvaluation(narrowed).Judge(earpiece);
}
