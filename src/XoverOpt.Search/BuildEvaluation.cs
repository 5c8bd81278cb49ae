using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>Evaluates whole builds for people: response, figures, cost. The same arithmetic the search ranks by.</summary>
public sealed class BuildEvaluation
{
    /// <summary>Prepares the tables for a problem.</summary>
    public BuildEvaluation(Problem problem) => Problem = problem;

    /// <summary>The problem.</summary>
    public Problem Problem { get; }

    /// <summary>Response on the standard grid of the figures.</summary>
    public EarpieceResponse Response(Earpiece earpiece) => throw new NotImplementedException();

    /// <summary>Response at stated frequencies, Hz.</summary>
    public EarpieceResponse Response(Earpiece earpiece, IReadOnlyList<double> hz) => throw new NotImplementedException();

    /// <summary>The build with its cost, figures and limits judged (rank 0: not in a list).</summary>
    public RankedBuild Judge(Earpiece earpiece, double relaxedCost = double.NaN) => throw new NotImplementedException();
}
