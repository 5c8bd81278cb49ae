namespace XoverOpt.Search;

/// <summary>Everything a search needs to go on from where it was saved, bit for bit. Plain data for a serializer.</summary>
public sealed record SearchState
{
    /// <summary>What it was doing.</summary>
    public required SearchStage Stage { get; init; }

    /// <summary>State of the random generator.</summary>
    public required ulong[] Random { get; init; }

    /// <summary>Evaluations used.</summary>
    public required long Evaluations { get; init; }

    /// <summary>Next layout of a complete walk; −1 where layouts are drawn; beyond the last once there are no more.</summary>
    public required long Cursor { get; init; }

    /// <summary>Batches since the list of the best last changed.</summary>
    public required int Stale { get; init; }

    /// <summary>Which round of refinement.</summary>
    public int Round { get; init; }

    /// <summary>Evaluations at the last beginning.</summary>
    public long Begun { get; init; }

    /// <summary>Whether what all beginnings found is being improved together.</summary>
    public bool Together { get; init; }

    /// <summary>The best of earlier beginnings.</summary>
    public IReadOnlyList<Found> Earlier { get; init; } = [];

    /// <summary>Which layouts were tried lately, as <see cref="TriedLayouts.Save"/> gives it.</summary>
    public required byte[] Tried { get; init; }

    /// <summary>Which layouts were tried since the first beginning, to count them; null where there was one beginning only.</summary>
    public byte[]? Counted { get; init; }

    /// <summary>How many layouts were tried.</summary>
    public required long LayoutsTried { get; init; }

    /// <summary>Layouts that a first look with free bores stood for, those tried among them.</summary>
    public required double SeenWithFreeBores { get; init; }

    /// <summary>Layouts all of whose neighbours were tried, the option of each way.</summary>
    public required IReadOnlyList<int[]> Swept { get; init; }

    /// <summary>Batches asked and not told, oldest first.</summary>
    public required IReadOnlyList<Batch> Outstanding { get; init; }

    /// <summary>The best relaxed layouts.</summary>
    public required IReadOnlyList<Found> Elite { get; init; }

    /// <summary>Layouts still to be handled in a stage that goes through a list.</summary>
    public required IReadOnlyList<Found> Queue { get; init; }

    /// <summary>Where independent starts for the layout that is best with ideal values ended.</summary>
    public required IReadOnlyList<StartEnd> Ends { get; init; }

    /// <summary>Further optima that may make good builds.</summary>
    public required IReadOnlyList<Found> Rivals { get; init; }

    /// <summary>Snapped builds.</summary>
    public required IReadOnlyList<Found> Snapped { get; init; }

    /// <summary>Why it was ended early; null if it was not.</summary>
    public StopReason? Reason { get; init; }

    /// <summary>Evaluations told when it was ended early; null if it was not.</summary>
    public long? EndedAt { get; init; }
}

/// <summary>A layout and the best point found for it.</summary>
/// <param name="Options">Option of each way.</param>
/// <param name="Unit">The point in the unit cube.</param>
/// <param name="Cost">Its cost.</param>
/// <param name="MagnitudeRmsDb">RMS magnitude error, dB.</param>
/// <param name="PhaseMaxDeg">Largest phase deviation, degrees.</param>
/// <param name="Choices">Choices of the values for a snapped build.</param>
/// <param name="RelaxedCost">For a snapped build, the cost before snapping.</param>
public sealed record Found(
    int[] Options, double[] Unit, double Cost, double MagnitudeRmsDb, double PhaseMaxDeg, int[]? Choices = null, double RelaxedCost = double.NaN)
{
    /// <summary>Whether both are about the same optimum: of one layout, and within a thousandth of cost.</summary>
    public bool IsOptimumOf(Found other) =>
        Options.AsSpan().SequenceEqual(other.Options) && Math.Abs(Cost - other.Cost) <= 1e-3 * Math.Abs(other.Cost);
}

/// <summary>What a search is doing.</summary>
public enum SearchStage
{
    /// <summary>Trying layouts from all over.</summary>
    Explore,

    /// <summary>Changing the best layouts bit by bit.</summary>
    Improve,

    /// <summary>Optimising the best on a finer grid.</summary>
    Refine,

    /// <summary>Making the best buildable.</summary>
    Snap,

    /// <summary>Nothing is left to do.</summary>
    Done,

    /// <summary>Optimising what the job knows of beforehand; before all others, and only where it knows something.</summary>
    Known,
}
