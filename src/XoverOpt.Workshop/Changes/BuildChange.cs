namespace XoverOpt.Workshop.Changes;

/// <summary>What became of a build from one run to another.</summary>
public enum BuildFate
{
    /// <summary>It has the same rank.</summary>
    Stayed,

    /// <summary>It is further up.</summary>
    Rose,

    /// <summary>It is further down.</summary>
    Fell,

    /// <summary>It is no longer in the list.</summary>
    Died,

    /// <summary>It was not in the list before.</summary>
    New,
}

/// <summary>What became of one build, and why.</summary>
/// <param name="Fate">What became of it.</param>
/// <param name="OldRank">Rank in the earlier run; null for a new build.</param>
/// <param name="NewRank">Rank in the later run; null for one that died.</param>
/// <param name="Receivers">Its receivers by way.</param>
/// <param name="Retuned">What is other than before though receivers, wiring and networks are the same, in words; empty where it is the same build part for part.</param>
/// <param name="Why">Why, each reason once.</param>
/// <param name="Old">Its figures in the earlier run; for a new build that could have been made then, what they would have been.</param>
/// <param name="Now">Its figures in the later run; for one that died and could still be made, what they would be.</param>
public sealed record BuildChange(
    BuildFate Fate,
    int? OldRank,
    int? NewRank,
    string Receivers,
    IReadOnlyList<string> Retuned,
    IReadOnlyList<Reason> Why,
    BuildSide? Old,
    BuildSide? Now);

/// <summary>The figures of a build that are put side by side.</summary>
/// <param name="Cost">Its cost.</param>
/// <param name="Feasible">Whether it keeps every limit.</param>
/// <param name="MagnitudeRmsDb">RMS magnitude error, dB.</param>
/// <param name="PhaseMaxDeg">Largest phase deviation, degrees.</param>
/// <param name="ArrivalSpreadUs">Latest less earliest arrival, µs.</param>
/// <param name="SplAt100mV">Eardrum SPL at 100 mV and 500 Hz, dB re 20 µPa.</param>
/// <param name="ImpedanceMinOhm">Least impedance, Ω.</param>
/// <param name="PartsCost">Cost of the parts of one earpiece; null where a price is missing.</param>
/// <param name="Receivers">Receivers in one earpiece.</param>
public sealed record BuildSide(
    double Cost, bool Feasible, double MagnitudeRmsDb, double PhaseMaxDeg, double ArrivalSpreadUs, double SplAt100mV, double ImpedanceMinOhm, decimal? PartsCost, int Receivers)
{
    internal static BuildSide Of(Search.RankedBuild build) => new(
        build.Cost.Total,
        build.Feasible,
        build.Figures.MagnitudeRmsDb,
        build.Figures.PhaseMaxDeg,
        build.Figures.ArrivalSpreadUs,
        build.Figures.SplAt100mV,
        build.Figures.ImpedanceMinOhm,
        build.Figures.PartsCost,
        build.Figures.Receivers);
}
