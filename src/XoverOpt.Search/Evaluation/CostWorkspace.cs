using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>Room for one thread to evaluate costs on one grid; reused from candidate to candidate.</summary>
public sealed class CostWorkspace
{
    private readonly KernelWay[] _ways;
    private readonly KernelWay[] _peakWays;

    /// <summary>Makes room.</summary>
    public CostWorkspace(ProblemTables tables)
    {
        Tables = tables;
        int n = tables.Grid.Count, ways = KernelWorkspace.MaxWays, parameters = KernelWorkspace.MaxParameters;
        Kernel = new KernelWorkspace(tables.Grid);
        PeakKernel = tables.Peaks is { } peaks ? new KernelWorkspace(peaks.Grid, motors: true) : null;
        _ways = new KernelWay[ways];
        _peakWays = new KernelWay[ways];
        Logs = AlignedArray.Of((1 + ways) * n);
        Phases = AlignedArray.Of((1 + ways) * n);
        Minimum = AlignedArray.Of((1 + ways) * n);
        Error = AlignedArray.Of(n);
        Deviation = AlignedArray.Of(n);
        Theta = AlignedArray.Of(ways * n);
        Arrivals = new Arrival.Fit[ways];
        OnPhase = AlignedArray.Of(ways * n);
        OnLevel = AlignedArray.Of(ways * n);
        OnLog = AlignedArray.Of(ways * n);
        ShareSizes = AlignedArray.Of(ways * n);
        Loss = AlignedArray.Of(n);
        Fractions = AlignedArray.Of(ways * n);
        MinimumTangents = AlignedArray.Of(parameters * n);
        Tangents = AlignedArray.Of(parameters * n);
        Weighted = AlignedArray.Of(parameters * n);
        RowWeights = AlignedArray.Of(n);
        RowResiduals = AlignedArray.Of(n);
        Here = new NormalEquations();
        There = new NormalEquations();
        Objective = (at, equations) =>
        {
            Subject!.SetFree(at);
            return CostFunction.Evaluate(Subject, this, equations).Cost.Total;
        };
    }

    /// <summary>What it was made for.</summary>
    public ProblemTables Tables { get; }

    internal KernelWorkspace Kernel { get; }

    /// <summary>Where peak frequencies are evaluated; null if there are none.</summary>
    internal KernelWorkspace? PeakKernel { get; }

    /// <summary>ln|p|, and below it ln|share| a row a way.</summary>
    internal double[] Logs { get; }

    /// <summary>arg p and below it arg share, in the bands.</summary>
    internal double[] Phases { get; }

    /// <summary>Minimum phases in the same order, in the bands.</summary>
    internal double[] Minimum { get; }

    internal Span<double> WholeLog => Logs.AsSpan(0, Tables.Grid.Count);

    internal Span<double> WholePhase => Phases.AsSpan(0, Tables.Grid.Count);

    internal Span<double> WholeMinimum => Minimum.AsSpan(0, Tables.Grid.Count);

    internal double[] Error { get; }

    internal double[] Deviation { get; }

    /// <summary>Unwrapped phase of each way's share.</summary>
    internal double[] Theta { get; }

    internal Arrival.Fit[] Arrivals { get; }

    /// <summary>What the arrivals of the latest and the earliest way depend on.</summary>
    internal double[] OnPhase { get; }

    internal double[] OnLevel { get; }

    internal double[] OnLog { get; }

    internal double[] ShareSizes { get; }

    internal double[] Loss { get; }

    internal double[] Fractions { get; }

    internal double[] MinimumTangents { get; }

    internal double[] Tangents { get; }

    internal double[] Weighted { get; }

    internal double[] RowWeights { get; }

    internal double[] RowResiduals { get; }

    /// <summary>Equations at the point a descent stands on, and at the one it tries.</summary>
    internal NormalEquations Here { get; }

    internal NormalEquations There { get; }

    /// <summary>The cost of <see cref="Subject"/>, made once so that a descent allocates nothing.</summary>
    internal LevenbergMarquardt.Objective Objective { get; }

    /// <summary>What a descent is moving just now.</summary>
    internal Candidate? Subject { get; set; }

    /// <summary>Breaks off whatever is evaluated here, at its next evaluation.</summary>
    internal CancellationToken BreakOff { get; set; }

    /// <summary>The ways at the peak frequencies, at their present values; made anew only when the ways are others than last time.</summary>
    internal ReadOnlySpan<KernelWay> AtPeaks(ReadOnlySpan<KernelWay> ways)
    {
        for (int i = 0; i < ways.Length; i++)
        {
            if (!ReferenceEquals(_ways[i], ways[i]))
            {
                _ways[i] = ways[i];
                _peakWays[i] = Tables.Peaks!.Of(ways[i]);
            }

            _peakWays[i].Follow(ways[i]);
        }

        return _peakWays.AsSpan(0, ways.Length);
    }

    /// <summary>ln|share| of a way.</summary>
    internal Span<double> ShareLog(int way) => Kernel.Row(Logs, 1 + way);

    internal Span<double> SharePhase(int way) => Kernel.Row(Phases, 1 + way);

    internal Span<double> ShareMinimum(int way) => Kernel.Row(Minimum, 1 + way);
}
