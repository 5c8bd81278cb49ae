using System.Text.Json.Serialization;

namespace XoverOpt.Search;

/// <summary>The best point an optimiser has seen.</summary>
/// <param name="Point">Values in [0, 1].</param>
/// <param name="Cost">Its cost; +∞ if no point had a finite one.</param>
[JsonNumberHandling(JsonNumberHandling.AllowNamedFloatingPointLiterals)]
public sealed record BestPoint(double[] Point, double Cost)
{
    /// <summary>The better of what was best and a point; of equals the older.</summary>
    internal static BestPoint Better(BestPoint? best, double[] point, double cost) =>
        best is null || cost < best.Cost ? new([.. point], cost) : best;
}
