namespace XoverOpt.Benchmarks;

/// <summary>What is asked of a search for a planted build, and how the build is drawn.</summary>
internal enum PlantedKind
{
    /// <summary>The job's own weights. Limits that the planted build breaks are opened to what it reaches, phase and arrival too.</summary>
    All,

    /// <summary>Only the magnitude counts and nothing is asked of phase and arrival: the planted build costs nothing, a needle to find.</summary>
    Magnitude,

    /// <summary>The job's own weights; drawn until the build keeps the job's limits on phase and arrival as they are, which few do.</summary>
    Legal,
}
