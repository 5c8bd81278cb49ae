using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>Everything about a problem that depends on the grid and not on a candidate: tables and figures. Read-only, shared by threads.</summary>
public sealed class ProblemTables
{
    private readonly Dictionary<string, ReceiverTable> _receivers = [];
    private readonly Dictionary<double, BoreTable> _bores = [];
    private readonly Dictionary<(double, double), Lazy<BoreFamily>> _families = [];

    /// <summary>Tabulates a problem with 6, 12 or 24 points an octave.</summary>
    /// <param name="problem">The problem.</param>
    /// <param name="pointsPerOctave">6, 12 or 24.</param>
    /// <param name="pathArrivals">
    /// Take the delay of its sound path for the arrival of a way. A coarse grid does not see the narrow resonances far above hearing, whose
    /// minimum phase looks like some microseconds of delay within it; a search that trims lengths to such an arrival trims to noise.
    /// </param>
    public ProblemTables(Problem problem, int pointsPerOctave, bool pathArrivals = false)
    {
        PathArrivals = pathArrivals;
        Problem = problem;
        Grid = FrequencyGrid.Standard(pointsPerOctave);
        Peaks = problem.Limits.MinPeakSpl.Count > 0 ? new PeakTables(problem) : null;
        At500Hz = Grid.Nearest(500);
        Ear = new EarTable(problem.Ear, Grid);
        MinimumPhase = new MinimumPhase(Grid);
        Target target = problem.Target;
        Magnitude = new MagnitudeError(
            [.. Grid.Hz.Select(target.Curve.At)],
            Grid.BandWeights(target.BandLowHz, target.BandHighHz, target.Weights.At),
            Grid.BandWeights(target.BandLowHz, target.BandHighHz),
            target.Level == LevelKind.Relative ? Grid.BandWeights(target.LevelLowHz, target.LevelHighHz, target.Weights.At) : null);
        Phase = new PhaseDeviation(Grid.Omega, Grid.BandWeights(problem.Phase.BandLowHz, problem.Phase.BandHighHz));
        Arrival = new Arrival(Grid.Omega, Magnitude.Band);
        foreach (StockReceiver receiver in problem.Ways.SelectMany(way => way.Receivers))
        {
            _receivers.TryAdd(receiver.Receiver.PartNumber, new ReceiverTable(receiver.Receiver, Grid, problem.Ear.Air));
        }

        foreach (WayChoice way in problem.Ways.Where(way => way.Bores.Count > 1))
        {
            (double, double) key = (way.Bores.Min(bore => bore.Value), way.Bores.Max(bore => bore.Value));
            _families.TryAdd(key, new(() => new BoreFamily(key.Item1, key.Item2, Grid, problem.Ear.Air)));
        }

        foreach (StockValue bore in problem.Ways.SelectMany(way => way.Bores))
        {
            _bores.TryAdd(bore.Value, new BoreTable(bore.Value, Grid, problem.Ear.Air));
        }
    }

    /// <summary>Whether arrivals are those of the sound paths.</summary>
    public bool PathArrivals { get; }

    /// <summary>The problem.</summary>
    public Problem Problem { get; }

    /// <summary>The grid.</summary>
    public FrequencyGrid Grid { get; }

    /// <summary>Tables at the job's peak frequencies; null if it has none.</summary>
    internal PeakTables? Peaks { get; }

    /// <summary>The grid point where the sensitivity is read.</summary>
    internal int At500Hz { get; }

    /// <summary>The ear.</summary>
    public EarTable Ear { get; }

    /// <summary>The minimum phase matrix.</summary>
    public MinimumPhase MinimumPhase { get; }

    /// <summary>The magnitude figure.</summary>
    public MagnitudeError Magnitude { get; }

    /// <summary>The phase figure.</summary>
    public PhaseDeviation Phase { get; }

    /// <summary>The arrival figure.</summary>
    public Arrival Arrival { get; }

    /// <summary>Table of a receiver; made on the spot for one that the problem does not list.</summary>
    public ReceiverTable Receiver(Receiver receiver) =>
        _receivers.TryGetValue(receiver.PartNumber, out ReceiverTable? table) && table.Receiver == receiver
            ? table
            : new ReceiverTable(receiver, Grid, Problem.Ear.Air);

    /// <summary>Table of a bore, m; made on the spot for one that the problem does not list.</summary>
    public BoreTable Bore(double bore) =>
        _bores.TryGetValue(bore, out BoreTable? table) ? table : new BoreTable(bore, Grid, Problem.Ear.Air);

    /// <summary>The bores between the smallest and the largest of a way's list, m; made when first asked for.</summary>
    public BoreFamily BoresBetween(double smallest, double largest) => _families[(smallest, largest)].Value;

    /// <summary>A whole build as the kernel reads it.</summary>
    public KernelWay[] Ways(Earpiece earpiece) =>
        [.. earpiece.Ways.Select(way => new KernelWay(way, Receiver(way.Receiver), [.. way.Tube.Select(piece => Bore(piece.Bore))]))];
}
