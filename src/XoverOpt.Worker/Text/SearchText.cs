using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Text;

/// <summary>How a search went: why it ended, what became of every layout, how sure the result is.</summary>
internal static class SearchText
{
    /// <summary>Its lines, as long as they come.</summary>
    public static IEnumerable<string> Lines(SearchResult result)
    {
        yield return $"{RunVerdict.Words(result.Reason)}: {Numbers.Count(result.Evaluations)} evaluations, "
            + $"{Numbers.Count(result.LayoutsTried)} of {Numbers.Count(result.LayoutsAllowed)} layouts tried, "
            + Numbers.Invariant($"seed {result.Seed}, version {BuildFile.ProgramVersion}.");
        foreach (Exclusion exclusion in result.Exclusions)
        {
            yield return $"  left out before that count: {Numbers.Count(exclusion.Layouts)} layouts, {exclusion.Reason}";
        }

        foreach (Exclusion exclusion in result.GivenUp)
        {
            yield return $"  given up on the way: {Numbers.Count(exclusion.Layouts)} layouts, {exclusion.Reason}";
        }

        if (result.LayoutsNotReached > 0)
        {
            yield return $"  not reached: {Numbers.Count(result.LayoutsNotReached)} layouts, for want of evaluations, time or promise";
        }

        if (RobustRanking.Words(result.Builds) is { } robust)
        {
            yield return robust;
        }

        if (result.Values is { } values)
        {
            yield return values.Words;
        }

        if (result.Layouts is { } layouts)
        {
            yield return layouts.Words;
        }
    }
}
