namespace XoverOpt.Workshop.Purchasing;

/// <summary>How a parts list is reckoned.</summary>
/// <param name="Sets">How many sets are to be built, ≥ 1.</param>
/// <param name="EarpiecesPerSet">2 for a left and a right.</param>
/// <param name="CutLossMm">Tubing lost at each cut, mm: the blade and the trimming of the end.</param>
/// <param name="Today">The day on which the order goes out.</param>
/// <param name="NeededBy">The day by which all parts must be there; null where none is set.</param>
public sealed record PartsOrder(int Sets, int EarpiecesPerSet, decimal CutLossMm, DateOnly Today, DateOnly? NeededBy)
{
    /// <summary>Tubing lost at a cut unless told otherwise, mm (common practice, no source).</summary>
    public const decimal UsualCutLossMm = 1;

    /// <summary>Earpieces in all.</summary>
    public int Earpieces => Sets * EarpiecesPerSet;
}
