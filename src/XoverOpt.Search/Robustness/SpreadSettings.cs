namespace XoverOpt.Search;

/// <summary>
/// How parts are taken to vary. Receivers state a standard deviation, and many small causes add up in them: normal, of the level in dB
/// and of the logarithm of resonance and resistance, so that none goes below zero. Of a tolerance only the band is known, and tight pieces
/// may have been picked out of it: even over the band, as JCGM 100:2008 (GUM), 4.3.7 advises where nothing but limits is known; likewise a
/// tube that is cut to the nearest step.
/// </summary>
public sealed record SpreadSettings
{
    /// <summary>Sensitivity, resonance and resistance of receivers.</summary>
    public SpreadShape Receivers { get; init; } = SpreadShape.Normal;

    /// <summary>Resistors, capacitors, coils and dampers.</summary>
    public SpreadShape Tolerances { get; init; } = SpreadShape.Uniform;

    /// <summary>Cutting error of tubes.</summary>
    public SpreadShape Cuts { get; init; } = SpreadShape.Uniform;

    /// <summary>Half-width of the cutting error, m; half the job's cutting step where left out.</summary>
    public double? CutError { get; init; }

    /// <summary>Built units drawn; each two that follow one another are the left and right ear of one set.</summary>
    public int Samples { get; init; } = 10_000;

    /// <summary>Seed of all draws.</summary>
    public ulong Seed { get; init; } = 1;

    /// <summary>Largest level difference between left and right that is let through, dB (common practice, no source).</summary>
    public double SideLimitDb { get; init; } = 1;
}
