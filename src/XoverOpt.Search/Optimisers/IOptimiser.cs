namespace XoverOpt.Search;

/// <summary>
/// A minimiser of a cost of which only values are known, on the unit cube, driven from outside: ask for points, evaluate them anywhere and
/// in any order, tell the costs in the order of the points. Here <see cref="CmaEs"/>, <see cref="RestartingCmaEs"/> and
/// <see cref="SuccessHistoryDe"/>; an outside library's optimiser plugs in by an adapter of this shape.
/// <para>
/// What is asked depends on the settings and the costs told, never on threads or time. A cost that is not a number counts as +∞, and +∞ is
/// worse than every other cost.
/// </para>
/// </summary>
public interface IOptimiser
{
    /// <summary>The best point so far; null before the first tell.</summary>
    BestPoint? Best { get; }

    /// <summary>Costs told so far.</summary>
    long Evaluations { get; }

    /// <summary>Why it ended; null while it goes on.</summary>
    OptimiserStop? Stopped { get; }

    /// <summary>The next points, each a row of values in [0, 1]; not to be changed; the same
    /// ones until they are told, and none after a stop.</summary>
    double[][] Ask();

    /// <summary>Takes the costs of the points asked last.</summary>
    /// <param name="costs">One cost a point, in the order of the points.</param>
    /// <exception cref="ArgumentException">Not as many costs as points.</exception>
    void Tell(ReadOnlySpan<double> costs);

    /// <summary>Everything needed to go on bit for bit. Points asked and not yet told are asked again.</summary>
    OptimiserState Save();
}
