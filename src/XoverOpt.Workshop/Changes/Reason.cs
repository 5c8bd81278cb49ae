namespace XoverOpt.Workshop.Changes;

/// <summary>Why a build is where it is in one run and not in the other.</summary>
public enum ReasonKind
{
    /// <summary>A part it needs is in one drawer only.</summary>
    PartGone,

    /// <summary>The stock of a part serves one run only.</summary>
    Stock,

    /// <summary>The choices of one job do not hold it.</summary>
    Choices,

    /// <summary>It breaks a limit of one job.</summary>
    Limits,

    /// <summary>A price changed.</summary>
    Price,

    /// <summary>What is stated of a part changed.</summary>
    Parameters,

    /// <summary>The target, the drive, the ear or what the cost weighs changed.</summary>
    Target,

    /// <summary>Others are better.</summary>
    Beaten,

    /// <summary>Others before it came or went.</summary>
    Neighbours,

    /// <summary>The search came past it.</summary>
    Search,

    /// <summary>The program reckons differently.</summary>
    Program,
}

/// <summary>A reason, in a sentence.</summary>
/// <param name="Kind">What sort of reason.</param>
/// <param name="Words">The sentence.</param>
/// <param name="Part">The part that did it; null where none did.</param>
public sealed record Reason(ReasonKind Kind, string Words, string? Part = null);
