namespace XoverOpt.Search;

/// <summary>Why an optimiser ended. Each optimiser says in its description what it takes for each.</summary>
public enum OptimiserStop
{
    /// <summary>A cost no greater than the target was found.</summary>
    TargetReached,

    /// <summary>The next points would exceed the evaluations allowed.</summary>
    EvaluationsUsed,

    /// <summary>The costs differ by no more than the tolerance.</summary>
    CostTolerance,

    /// <summary>The points differ by no more than the tolerance.</summary>
    StepTolerance,

    /// <summary>The best cost has not changed at all for many generations.</summary>
    Flat,

    /// <summary>Costs have stopped getting better.</summary>
    Stagnation,

    /// <summary>The longest and the shortest axis of the distribution differ by more than arithmetic carries.</summary>
    Condition,

    /// <summary>Steps are lost in rounding.</summary>
    NoEffect,

    /// <summary>No step, however short, lowered the cost.</summary>
    Damping,
}
