using XoverOpt.Search;

namespace XoverOpt.Worker.Text;

/// <summary>The report on a search: ranked table, the winning build in full, how the search went, cautions.</summary>
internal static class Report
{
    /// <summary>Width of a report that goes to a file or a pipe.</summary>
    public const int Width = 100;

    /// <summary>Its lines.</summary>
    public static IEnumerable<string> Lines(SearchResult result, Problem problem, int width)
    {
        yield return problem.Name;
        yield return "";
        if (result.Builds.Count > 0)
        {
            foreach (string line in RankedTable.Lines(result.Builds, width).Append("").Concat(BuildText.Lines(result.Builds[0], problem)))
            {
                yield return line;
            }
        }
        else
        {
            yield return NoBuilds(result);
        }

        yield return "";
        yield return $"{Reason(result.Reason)}: {Numbers.Count(result.Evaluations)} evaluations, "
            + $"{Numbers.Count(result.LayoutsTried)} of {Numbers.Count(result.LayoutsAllowed)} layouts tried, "
            + Numbers.Invariant($"seed {result.Seed}, version {ProgramVersion.Text}.");
        foreach (Exclusion exclusion in result.Exclusions)
        {
            yield return $"  left out beforehand: {Numbers.Count(exclusion.Layouts)} layouts, {exclusion.Reason}";
        }

        yield return $"job {problem.JobHash}";
        yield return $"inventory {problem.InventoryHash}";
        yield return "";
        foreach (string line in new[] { Cautions.Levels, Cautions.Impressions, Cautions.Model }.SelectMany(text => Wrap(text, width)))
        {
            yield return line;
        }
    }

    /// <summary>Why there is nothing to build.</summary>
    public static string NoBuilds(SearchResult result) => result.Exclusions.Count > 0 && result.Reason == StopReason.Finished
        ? "no layout fits: " + string.Join("; ", result.Exclusions.Select(exclusion => $"{exclusion.Reason} ({Numbers.Count(exclusion.Layouts)} layouts)"))
        : $"no build was found: {Reason(result.Reason)} after {Numbers.Count(result.Evaluations)} evaluations";

    /// <summary>Why a search ended, in words.</summary>
    public static string Reason(StopReason reason) => reason switch
    {
        StopReason.Finished => "finished",
        StopReason.EvaluationsUsed => "evaluations used up",
        StopReason.TimeUsed => "minutes used up",
        _ => "stopped",
    };

    private static IEnumerable<string> Wrap(string text, int width)
    {
        string line = "";
        foreach (string word in text.Split(' '))
        {
            if (line.Length > 0 && line.Length + 1 + word.Length > width)
            {
                yield return line;
                line = word;
            }
            else
            {
                line = line.Length == 0 ? word : $"{line} {word}";
            }
        }

        yield return line;
    }
}
