namespace XoverOpt.Acoustics;

/// <summary>How several alike receivers of a way are wired.</summary>
public enum Wiring
{
    /// <summary>All on the same two leads.</summary>
    Parallel,

    /// <summary>One after another.</summary>
    Series,
}
