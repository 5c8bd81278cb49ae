using System.Text.Json.Serialization;

namespace XoverOpt.Search;

/// <summary>
/// Everything an optimiser needs to go on bit for bit; plain data. System.Text.Json writes doubles in their shortest form that reads back
/// to the same bits, and ∞ by name.
/// </summary>
[JsonDerivedType(typeof(CmaEsState), "cma-es")]
[JsonDerivedType(typeof(RestartingCmaEsState), "restarting-cma-es")]
[JsonDerivedType(typeof(SuccessHistoryDeState), "success-history-de")]
public abstract record OptimiserState
{
    /// <summary>The optimiser that goes on from here.</summary>
    public abstract IOptimiser Restore();
}
