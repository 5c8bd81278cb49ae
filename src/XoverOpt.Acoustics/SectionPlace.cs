namespace XoverOpt.Acoustics;

/// <summary>Where a network section stands in the ladder.</summary>
public enum SectionPlace
{
    /// <summary>In line with the signal lead.</summary>
    Series,

    /// <summary>Across the two leads.</summary>
    Shunt,
}
