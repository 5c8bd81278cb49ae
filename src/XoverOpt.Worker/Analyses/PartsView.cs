using XoverOpt.Workshop;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Worker.Analyses;

/// <summary>The parts of a build and what they let one say.</summary>
/// <param name="Build">The build in words.</param>
/// <param name="Answer">Whether so many sets can be built by that day.</param>
/// <param name="Parts">The list.</param>
public sealed record PartsView(string Build, string Answer, PartsList Parts)
{
    /// <summary>The view of a build.</summary>
    /// <param name="build">The build in words.</param>
    /// <param name="earpiece">The build.</param>
    /// <param name="drawer">The drawer it is bought for.</param>
    /// <param name="order">How many sets, by when.</param>
    public static PartsView Of(string build, Acoustics.Earpiece earpiece, Inventory drawer, PartsOrder order)
    {
        var list = PartsList.Of(earpiece, drawer, order);
        return new(build, PartsAnswer.Of(list), list);
    }

    /// <summary>A build in words.</summary>
    public static string Label(int? rank, string job) => rank is { } place ? FormattableString.Invariant($"build {place} of {job}") : $"a build of {job}";
}
