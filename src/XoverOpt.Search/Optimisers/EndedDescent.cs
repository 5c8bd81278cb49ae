namespace XoverOpt.Search;

/// <summary>One descent of an optimiser that starts again and again.</summary>
/// <param name="Population">Points a generation.</param>
/// <param name="Evaluations">Evaluations it used.</param>
/// <param name="Best">Best point it found; null if it had no evaluation.</param>
/// <param name="Stop">Why it ended.</param>
public sealed record EndedDescent(int Population, long Evaluations, BestPoint? Best, OptimiserStop Stop);
