using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>Tables at the frequencies where a job asks for a peak SPL, made as they are asked for and kept. Safe from many threads.</summary>
internal sealed class PeakTables
{
    private readonly Air _air;
    private readonly System.Collections.Concurrent.ConcurrentDictionary<Receiver, ReceiverTable> _receivers = new();
    private readonly System.Collections.Concurrent.ConcurrentDictionary<double, BoreTable> _bores = new();
    private readonly System.Collections.Concurrent.ConcurrentDictionary<(double, double), BoreFamily> _families = new();

    public PeakTables(Problem problem)
    {
        _air = problem.Ear.Air;
        Grid = FrequencyGrid.Of([.. problem.Limits.MinPeakSpl.Select(peak => peak.Hz)]);
        Ear = new EarTable(problem.Ear, Grid);
    }

    public FrequencyGrid Grid { get; }

    public EarTable Ear { get; }

    /// <summary>A way as these frequencies see it.</summary>
    public KernelWay Of(KernelWay way) => way.OnGrid(
        _receivers.GetOrAdd(way.Receiver.Receiver, receiver => ReceiverTable.WithMotor(receiver, Grid, _air)),
        // A free bore's own table is not read, and one for wherever it happens to stand would be kept for ever.
        [.. way.Bores.Select(bore => _bores.GetOrAdd(way.Relaxed?.Table == bore ? way.Relaxed.Smallest : bore.Bore, value => new BoreTable(value, Grid, _air)))],
        way.Relaxed is { } relaxed
            ? _families.GetOrAdd((relaxed.Smallest, relaxed.Largest), ends => new BoreFamily(ends.Item1, ends.Item2, Grid, _air))
            : null);
}
