namespace XoverOpt.Search;

/// <summary>
/// What opening the mouth does to a canal. Common practice, no source: about four canals in five widen, one in five narrows. How much
/// is a choice: the bore between the tip and the first side branch by 8 % either way; a canal that widens also stands off the tip, which
/// adds 20 mm³ and opens a leak of 0.3 mm bore past the seal.
/// </summary>
public static class Jaw
{
    /// <summary>Share of the canals that widen.</summary>
    public const double Widens = 0.8;

    /// <summary>A canal that widens.</summary>
    public static readonly EarChange Wider = new() { CanalBoreRatio = 1.08, AddedVolume = 20e-9, LeakBore = 0.3e-3 };

    /// <summary>A canal that narrows.</summary>
    public static readonly EarChange Narrower = new() { CanalBoreRatio = 0.92 };
}
