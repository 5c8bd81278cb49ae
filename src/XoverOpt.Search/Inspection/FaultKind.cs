namespace XoverOpt.Search;

/// <summary>What may be wrong with a unit.</summary>
public enum FaultKind
{
    /// <summary>Nothing: parts within their spread.</summary>
    NoneFound,

    /// <summary>A way's leads turned over.</summary>
    LeadsTurned,

    /// <summary>A way's damper missing, or another of the list in its place.</summary>
    WrongDamper,

    /// <summary>The dampers of two ways exchanged.</summary>
    DampersExchanged,

    /// <summary>A leak to the room.</summary>
    Leak,

    /// <summary>A way's tube blocked, wholly or in part.</summary>
    BlockedTube,

    /// <summary>
    /// A way that carries no current (a coil, a lead or a part in line is open: from outside these are one), a coil shorted, or one
    /// receiver of several dead.
    /// </summary>
    DeadReceiver,

    /// <summary>A way's tube cut to another length.</summary>
    TubeLength,

    /// <summary>A network part of another value, missing, bridged, or exchanged with another.</summary>
    WrongPart,
}
