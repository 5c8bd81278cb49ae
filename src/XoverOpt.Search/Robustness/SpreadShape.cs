namespace XoverOpt.Search;

/// <summary>How a part's deviation is distributed.</summary>
public enum SpreadShape
{
    /// <summary>Normal. For a stated band (a tolerance) its half-width counts as three standard deviations.</summary>
    Normal,

    /// <summary>
    /// Normal, cut where a maker sorts out: a stated standard deviation at three of them, a stated band at its edges, which then count as
    /// two standard deviations before the cut.
    /// </summary>
    TruncatedNormal,

    /// <summary>Even over a stated band; for a stated standard deviation σ even over ±√3 σ, which has that deviation.</summary>
    Uniform,
}
