namespace XoverOpt.Search;

/// <summary>Why a search ended.</summary>
public enum StopReason
{
    /// <summary>Every planned step was taken within the budget.</summary>
    Finished,

    /// <summary>The evaluations were used up.</summary>
    EvaluationsUsed,

    /// <summary>The minutes were used up.</summary>
    TimeUsed,

    /// <summary>Somebody stopped it.</summary>
    Stopped,
}
