using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>Room for one thread to evaluate costs on one grid; reused from candidate to candidate.</summary>
public sealed class CostWorkspace
{
    /// <summary>Makes room.</summary>
    public CostWorkspace(ProblemTables tables)
    {
        Tables = tables;
        int n = tables.Grid.Count, rows = KernelWorkspace.MaxWays;
        Kernel = new KernelWorkspace(tables.Grid);
        WholeLog = new double[n];
        WholePhase = new double[n];
        WholeMinimum = new double[n];
        Error = new double[n];
        Deviation = new double[n];
        ShareLog = new double[rows * n];
        SharePhase = new double[rows * n];
        ShareMinimum = new double[n];
        OnPhase = new double[rows * n];
        OnLevel = new double[rows * n];
        OnLog = new double[n];
        Loss = new double[n];
        Fractions = new double[rows * n];
        MinimumTangents = new double[KernelWorkspace.MaxParameters * n];
        Tangents = new double[KernelWorkspace.MaxParameters * n];
        Weighted = new double[n];
        RowWeights = new double[n];
        RowResiduals = new double[n];
    }

    /// <summary>What it was made for.</summary>
    public ProblemTables Tables { get; }

    internal KernelWorkspace Kernel { get; }

    internal double[] WholeLog { get; }

    internal double[] WholePhase { get; }

    internal double[] WholeMinimum { get; }

    internal double[] Error { get; }

    internal double[] Deviation { get; }

    internal double[] ShareLog { get; }

    internal double[] SharePhase { get; }

    internal double[] ShareMinimum { get; }

    internal double[] OnPhase { get; }

    internal double[] OnLevel { get; }

    internal double[] OnLog { get; }

    internal double[] Loss { get; }

    internal double[] Fractions { get; }

    internal double[] MinimumTangents { get; }

    internal double[] Tangents { get; }

    internal double[] Weighted { get; }

    internal double[] RowWeights { get; }

    internal double[] RowResiduals { get; }
}
